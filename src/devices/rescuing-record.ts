// A record that cannot take up a take any more (a full disk, a right taken away in the middle) does not end the session:
// the take goes to a rescue file of its own, named for it and never written over; `fettle record import` takes it up.

import { closeSync, existsSync, fsyncSync, openSync, readdirSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type { Passage } from '../music/passage.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { EXIT, type Problem, ProblemError } from '../problem.ts';
import type { Entry, EntryHeading } from '../record/entry.ts';
import { ExchangeWriter } from '../record/exchange-writer.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import type { TakeFilter } from '../record/take-filter.ts';

export const RESCUE_FILE = /^fettle-take-.*\.jsonl$/;

/** The rescue files that wait to be taken up into a record. */
export function rescuedFiles(place: string): string[] {
  return rescueFolders(place).flatMap((folder) =>
    existsSync(folder)
      ? readdirSync(folder)
          .filter((name) => RESCUE_FILE.test(name))
          .sort()
          .map((name) => join(folder, name))
      : [],
  );
}

/** Where rescue files go, the first that can be written to: beside the record, or where the system keeps what passes. */
function rescueFolders(place: string): string[] {
  return [dirname(place), tmpdir()];
}

/** Rescue files of one name: more than anybody makes. */
const MOST_ALIKE = 10_000;

export class RescuingRecord implements PracticeRecord {
  readonly #record: PracticeRecord;
  readonly #folders: readonly string[];
  readonly #passages = new Map<string, Passage>();
  readonly #unkept = new Set<Passage>();
  readonly #rescued: string[] = [];
  /** Takes that could be written nowhere, to be tried again. */
  #waiting: Entry[] = [];
  #tell: ((sentence: string) => void) | undefined;
  #told = '';

  constructor(record: PracticeRecord, folders: readonly string[] = rescueFolders(record.place)) {
    this.#record = record;
    this.#folders = folders;
  }

  get place(): string {
    return this.#record.place;
  }

  /** The files with takes that are not in the record. */
  get rescued(): readonly string[] {
    return this.#rescued;
  }

  onTrouble(tell: (sentence: string) => void): void {
    this.#tell = tell;
  }

  append(entry: Entry): void {
    this.#retry();
    this.#keep(entry);
  }

  keepPassage(passage: Passage): string {
    const fingerprint = passageFingerprint(passage);
    this.#passages.set(fingerprint, passage);
    if (this.#attempt(() => this.#record.keepPassage(passage))) this.#unkept.add(passage);
    return fingerprint;
  }

  headings(filter?: TakeFilter): Promise<readonly EntryHeading[]> {
    return this.#record.headings(filter);
  }

  recall(name: string): unknown {
    return this.#record.recall(name);
  }

  /** A setting that cannot be kept is not worth a session. */
  remember(name: string, value: unknown): void {
    this.#attempt(() => this.#record.remember(name, value));
  }

  /** Throws a ProblemError (code 'record.lost') when there are takes that could be written nowhere. */
  close(): void {
    this.#retry();
    this.#record.close();
    const lost = this.#waiting.length;
    if (lost === 0) return;
    throw new ProblemError({
      code: 'record.lost',
      message: `Cannot keep ${lost === 1 ? 'the last take' : `${lost} takes`}: neither the record nor ${this.#folders.join(' nor ')} can be written to`,
      exitStatus: EXIT.record,
    });
  }

  #keep(entry: Entry): void {
    const problem = this.#attempt(() => {
      for (const passage of this.#unkept) this.#record.keepPassage(passage);
      this.#unkept.clear();
      this.#record.append(entry);
    });
    if (!problem) return;
    const path = this.#writeFile(entry);
    if (path === undefined) this.#waiting.push(entry);
    else this.#rescued.push(path);
    this.#say(
      path === undefined
        ? `${problem.message}. The take could not be saved elsewhere either; Fettle keeps it and tries again.`
        : `${problem.message}. Takes are saved in ${dirname(path)} instead; fettle record import takes them up.`,
    );
  }

  #retry(): void {
    const waiting = this.#waiting;
    this.#waiting = [];
    for (const entry of waiting) this.#keep(entry);
  }

  /** The problem that stood in the way. */
  #attempt(work: () => void): Problem | undefined {
    try {
      work();
      return undefined;
    } catch (error) {
      if (!(error instanceof ProblemError)) throw error;
      return error.problem;
    }
  }

  #writeFile(entry: Entry): string | undefined {
    const passage = entry.fingerprint === undefined ? undefined : this.#passages.get(entry.fingerprint);
    const writer = new ExchangeWriter();
    const text = `${[...writer.passage(passage), ...writer.take(entry)].join('\n')}\n`;
    for (const folder of this.#folders) {
      const path = writeRescueFile(folder, entry, text);
      if (path !== undefined) return path;
    }
    return undefined;
  }

  /** Tells each trouble once: the same sentence after every take helps nobody. */
  #say(sentence: string): void {
    if (sentence === this.#told) return;
    this.#told = sentence;
    this.#tell?.(sentence);
  }
}

/** Writes a file that was not there before, through to the disk; undefined where the folder cannot take it. */
function writeRescueFile(folder: string, entry: Entry, text: string): string | undefined {
  const when = entry.date.slice(0, 23).replace(/[^0-9T]/g, '');
  const name = `fettle-take-${when}-${entry.passage.replace(/[^A-Za-z0-9]+/g, '-').slice(-40)}-${entry.order}`;
  for (let alike = 1; alike <= MOST_ALIKE; alike += 1) {
    const path = join(folder, `${name}${alike === 1 ? '' : `-${alike}`}.jsonl`);
    try {
      writeNew(path, text);
      return path;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') return undefined;
    }
  }
  return undefined;
}

function writeNew(path: string, text: string): void {
  const file = openSync(path, 'wx');
  try {
    const bytes = Buffer.from(text);
    for (let written = 0; written < bytes.length; ) written += writeSync(file, bytes, written);
    fsyncSync(file);
  } catch (error) {
    // Half a take is worse than none: it would be taken for one.
    rmSync(path, { force: true });
    throw error;
  } finally {
    closeSync(file);
  }
}
