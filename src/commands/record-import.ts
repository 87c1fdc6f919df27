// `fettle record import`: takes from exported files and rescue files into the record. Importing twice changes nothing;
// a line that cannot be read is told and costs no other.

import { createReadStream, rmSync, statSync } from 'node:fs';
import { createInterface } from 'node:readline';
import type { DatabaseRecord } from '../devices/database-record.ts';
import { rescuedFiles } from '../devices/rescuing-record.ts';
import { EXIT, ProblemError } from '../problem.ts';
import type { Entry } from '../record/entry.ts';
import { ExchangeReader } from '../record/exchange-reader.ts';
import { counted } from '../wording/counted.ts';
import { openOwnRecord } from './own-record.ts';
import { print, printTrouble } from './print.ts';
import type { RecordOptions } from './record-place.ts';

/** Takes that go into the record at once. */
const BATCH = 200;
const MOST_TOLD = 10;

interface Imported {
  readonly takes: number;
  readonly taken: number;
  readonly wrong: readonly string[];
}

export async function importRecord(files: readonly string[], options: RecordOptions): Promise<void> {
  const record = await openOwnRecord(options);
  let leftOut = 0;
  try {
    const rescued = files.length === 0 ? rescuedFiles(record.place) : [];
    if (files.length === 0 && rescued.length === 0) print('No take waits to be taken up.');
    for (const file of [...files, ...rescued]) {
      const { takes, taken, wrong } = await importFile(record, file);
      print(`${file}: ${taken} of ${takes} takes are new.`);
      tellWrong(file, wrong);
      leftOut += wrong.length;
      // What is in the record need not wait any more.
      if (rescued.includes(file) && wrong.length === 0) rmSync(file);
    }
  } finally {
    record.close();
  }
  if (leftOut === 0) return;
  throw new ProblemError({
    code: 'import.left-out',
    message: `Cannot take up all of it: ${counted(leftOut, 'line')} could not be read`,
    hint: 'Everything else is in the record. What fettle record export wrote as JSON Lines can be taken up, a table (.csv) cannot.',
    exitStatus: EXIT.unreadable,
  });
}

function tellWrong(file: string, wrong: readonly string[]): void {
  for (const line of wrong.slice(0, MOST_TOLD)) printTrouble(`fettle: left out of ${file}: ${line}`);
  if (wrong.length > MOST_TOLD) printTrouble(`  and ${wrong.length - MOST_TOLD} more lines`);
}

async function importFile(record: DatabaseRecord, file: string): Promise<Imported> {
  if (!statSync(file, { throwIfNoEntry: false })?.isFile()) {
    throw new ProblemError({
      code: 'import.missing',
      message: `Cannot take up "${file}": there is no such file`,
      exitStatus: EXIT.unreadable,
    });
  }
  const reader = new ExchangeReader();
  const wrong: string[] = [];
  let waiting: Entry[] = [];
  let takes = 0;
  let taken = 0;
  let number = 0;
  const store = () => {
    taken += record.add(waiting);
    waiting = [];
  };
  for await (const line of createInterface({ input: createReadStream(file), crlfDelay: Infinity })) {
    number += 1;
    const read = reader.read(line);
    if (!read.ok) {
      wrong.push(`line ${number}: ${read.why}`);
      // Without a right first line nobody knows what the lines after it are.
      if (!reader.hasBegun) break;
    } else if (read.value.kind === 'passage') record.keepPassage(read.value.passage);
    else if (read.value.kind === 'take') {
      takes += 1;
      waiting.push(read.value.entry);
      if (waiting.length >= BATCH) store();
    }
  }
  store();
  return { takes, taken, wrong };
}
