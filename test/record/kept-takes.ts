// Reads a record for tests: every entry of it, whole.

import type { DatabaseRecord } from '../../src/devices/database-record.ts';
import type { PracticeReader } from '../../src/ports/practice-reader.ts';
import type { Entry } from '../../src/record/entry.ts';

/** In order of writing. Throws at the first that is damaged. */
export async function allEntries(record: DatabaseRecord | PracticeReader): Promise<Entry[]> {
  const reader = 'reader' in record ? await record.reader() : record;
  const entries: Entry[] = [];
  for await (const { number, read } of reader.readAll()) {
    if (!read.ok) throw new Error(`take ${number}: ${read.why}`);
    entries.push(read.value);
  }
  return entries;
}
