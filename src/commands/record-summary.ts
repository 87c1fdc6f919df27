// `fettle record`: where the record is and what is in it. `fettle record verify`: whether it is whole.

import { statSync } from 'node:fs';
import { rescuedFiles } from '../devices/rescuing-record.ts';
import { isStudioAddress } from '../devices/studio-address.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import { EXIT, type Problem, ProblemError } from '../problem.ts';
import { counted } from '../wording/counted.ts';
import { print } from './print.ts';
import type { RecordOptions } from './record-place.ts';
import { openExisting, openReader } from './record-reading.ts';
import { shareLines } from './record-share.ts';

export async function recordSummary(options: RecordOptions): Promise<void> {
  if (options.record !== undefined && isStudioAddress(options.record)) {
    const reader = await openReader(options);
    try {
      print(reader.place);
      await tellCounts(reader);
      const players = await reader.players();
      if (players.length > 0) print(`Players: ${players.join(', ')}`);
    } finally {
      await reader.close();
    }
    return;
  }
  const record = await openExisting(options);
  try {
    print(`${record.place}, ${size(statSync(record.place).size)}`);
    await tellCounts(await record.reader());
    tellRescued(rescuedFiles(record.place));
    for (const line of shareLines(record.outbox)) print(line);
    const damage = record.damage('quick_check');
    if (damage.length > 0) throw new ProblemError(damaged(record.place, damage[0]!));
    print('The file is whole.');
  } finally {
    record.close();
  }
}

/** Files that are named one by one. */
const MOST_NAMED = 3;

function tellRescued(files: readonly string[]): void {
  for (const file of files.slice(0, MOST_NAMED))
    print(`Not in it yet: ${file} (fettle record import takes it up)`);
  if (files.length > MOST_NAMED) print(`and ${files.length - MOST_NAMED} more beside it`);
}

async function tellCounts(reader: PracticeReader): Promise<void> {
  const { takes, clean, skipped, sittings, days, passages, first, last } = await reader.counts();
  if (takes === 0) {
    print('No take is in it yet.');
    return;
  }
  print(
    `${counted(takes, 'take')} in ${counted(sittings, 'sitting')} on ${counted(days, 'day')}, ${first === last ? first : `${first} to ${last}`}`,
  );
  print(`${clean} of them clean, ${counted(skipped, 'step')} skipped, ${counted(passages, 'passage')}`);
}

/** Takes that are told one by one. */
const MOST_TOLD = 20;

export async function verifyRecord(options: RecordOptions): Promise<void> {
  const isStudio = options.record !== undefined && isStudioAddress(options.record);
  const record = isStudio ? undefined : await openExisting(options);
  const reader = record ? await record.reader() : await openReader(options);
  try {
    // A studio's server looks after its own files.
    const damage = record?.damage('integrity_check') ?? [];
    let takes = 0;
    for await (const { number, read } of reader.readAll()) {
      takes += 1;
      if (!read.ok) damage.push(`take ${number}: ${read.why}`);
    }
    for (const line of damage.slice(0, MOST_TOLD)) print(line);
    if (damage.length > MOST_TOLD) print(`and ${damage.length - MOST_TOLD} more`);
    if (damage.length > 0) {
      const what = `${damage.length} of its ${takes} takes or pages are damaged`;
      throw new ProblemError(damaged(reader.place, what));
    }
    print(`${counted(takes, 'take')} read, all whole.`);
  } finally {
    await reader.close();
  }
}

function damaged(place: string, what: string): Problem {
  return {
    code: 'record.corrupt',
    message: `Cannot vouch for the practice record ${place}: ${what}`,
    hint: 'Everything that is whole can be saved: fettle record export FILE, then import it into another.',
    exitStatus: EXIT.record,
  };
}

function size(bytes: number): string {
  return bytes < 1_000_000 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`;
}
