// `fettle record export`: the record as JSON Lines (DEVELOPERS.md has the format), or its takes as a table (RFC 4180).
// Written beside the file first and then moved; a few takes are in memory at a time.

import { createWriteStream, existsSync, renameSync, rmSync } from 'node:fs';
import { pipeline } from 'node:stream/promises';
import { setFlagsFromString } from 'node:v8';
import { whyNotWritten } from '../devices/file-bytes.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import { EXIT, ProblemError } from '../problem.ts';
import type { Entry } from '../record/entry.ts';
import { ExchangeWriter } from '../record/exchange-writer.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { TABLE_HEAD, tableRow } from '../record/take-table.ts';
import { counted } from '../wording/counted.ts';
import { print, printTrouble } from './print.ts';
import { openReader, type TakesOptions, takesAskedFor } from './record-reading.ts';
import { usage } from './usage-problem.ts';
import { refuseMissingFolder } from './written-file.ts';

export interface ExportOptions extends TakesOptions {
  readonly force?: boolean;
}

export async function exportRecord(file: string, options: ExportOptions): Promise<void> {
  if (existsSync(file) && !options.force)
    throw usage(
      'record.exists',
      `Cannot write "${file}": it is there already`,
      'Add --force to write over it.',
    );
  refuseMissingFolder(file);
  // Every take is made and forgotten. Left to itself the engine lets its memory grow to twice the size before it clears up.
  for (const flag of ['--optimize-for-size', '--semi-space-growth-factor=1']) setFlagsFromString(flag);
  const record = await openReader(options);
  const told = { takes: 0, damaged: [] as string[] };
  try {
    const filter = await takesAskedFor(record, options);
    const lines = /\.csv$/i.test(file)
      ? tableLines(record, filter, told)
      : exchangeLines(record, filter, told);
    await writeLines(file, lines);
  } finally {
    await record.close();
  }
  print(`${counted(told.takes, 'take')} in ${file}.`);
  for (const line of told.damaged) printTrouble(`fettle: left out, damaged: ${line}`);
  if (told.damaged.length === 0) return;
  throw new ProblemError({
    code: 'record.corrupt',
    message: `Cannot write all of the record: ${told.damaged.length} takes are damaged`,
    hint: `Everything else is in ${file}.`,
    exitStatus: EXIT.record,
  });
}

interface Told {
  takes: number;
  readonly damaged: string[];
}

async function* exchangeLines(
  record: PracticeReader,
  filter: TakeFilter,
  told: Told,
): AsyncGenerator<string> {
  const writer = new ExchangeWriter();
  yield* writer.passage(undefined);
  for await (const { entry } of wholeTakes(record, filter, told)) {
    const { fingerprint } = entry;
    if (fingerprint !== undefined && !writer.knows(fingerprint))
      yield* writer.passage(await record.passage(fingerprint));
    yield* writer.take(entry);
  }
}

async function* tableLines(record: PracticeReader, filter: TakeFilter, told: Told): AsyncGenerator<string> {
  yield TABLE_HEAD;
  for await (const { number, entry } of wholeTakes(record, filter, told)) yield tableRow(number, entry);
}

/** Counts them, and notes those that are damaged. */
async function* wholeTakes(
  record: PracticeReader,
  filter: TakeFilter,
  told: Told,
): AsyncGenerator<{ readonly number: number; readonly entry: Entry }> {
  for await (const { number, read } of record.readAll(filter)) {
    if (read.ok) {
      yield { number, entry: read.value };
      told.takes += 1;
    } else told.damaged.push(`take ${number} (${read.why})`);
  }
}

async function writeLines(file: string, lines: AsyncIterable<string>): Promise<void> {
  const beside = `${file}.part`;
  try {
    await pipeline(lines, endLines, createWriteStream(beside));
    renameSync(beside, file);
  } catch (error) {
    rmSync(beside, { force: true });
    if (error instanceof ProblemError) throw error;
    throw new ProblemError({
      code: 'record.export',
      message: `Cannot write "${file}": ${whyNotWritten(error)}`,
      exitStatus: EXIT.unreadable,
    });
  }
}

async function* endLines(lines: AsyncIterable<string>): AsyncGenerator<string> {
  for await (const line of lines) yield `${line}\n`;
}
