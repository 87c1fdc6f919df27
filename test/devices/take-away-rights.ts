// Tries to open the record in the folder at its argument with ever other rights, and says what came of each try.

import { chmodSync } from 'node:fs';
import { join } from 'node:path';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';

const folder = process.argv[2]!;
const file = join(folder, 'practice.db');
const outcomes: Record<string, string> = {};

async function attempt(name: string, place = file): Promise<void> {
  const opened = await openDatabaseRecord(place);
  if (opened.ok) opened.value.close();
  outcomes[name] = opened.ok ? 'opened' : opened.problem.code;
}

await attempt('all rights');
chmodSync(file, 0o444);
await attempt('a file that may not be written');
chmodSync(file, 0o000);
await attempt('a file that may not be read');
chmodSync(file, 0o644);
chmodSync(folder, 0o555);
await attempt('a folder that may not be written');
await attempt('a new file in it', join(folder, 'another.db'));
chmodSync(folder, 0o755);
await attempt('all rights again');
console.log(JSON.stringify(outcomes));
