// PASSAGE on the command line: a bundled name or a file's path, its part and its span.

import { readdirSync, readFileSync } from 'node:fs';
import { basename, extname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { INSTRUMENT_NAMES, isInstrumentName } from '../music/instrument.ts';
import { nearWord } from '../music/near-word.ts';
import type { Passage } from '../music/passage.ts';
import type { Span } from '../music/span.ts';
import { LEAST_BPM, MOST_BPM } from '../music/tempo.ts';
import { choosePart, transposeForInstrument } from '../notation/part-choice.ts';
import { readPassageBytes } from '../notation/read.ts';
import type { Reading } from '../notation/reading.ts';
import { chooseSpan } from '../notation/span-choice.ts';
import { EXIT, type Problem, ProblemError, type Result } from '../problem.ts';

const BUNDLED = new URL('../../passages/', import.meta.url);
const ENDINGS = ['.abc', '.musicxml', '.xml', '.mxl', '.mid', '.midi'];

export interface PassageOptions {
  readonly bars?: string;
  readonly onsets?: string;
  readonly mark?: string;
  readonly part?: string;
  readonly voice?: string;
  readonly hand?: string;
  readonly melody?: boolean;
  readonly instrument?: string;
}

/** The value, or the problem thrown to the one place that prints it. */
export function need<T>(result: Result<T>): T {
  if (result.ok) return result.value;
  throw new ProblemError(result.problem);
}

export function usage(code: string, message: string, hint?: string): ProblemError {
  const problem: Problem = { code, message, exitStatus: EXIT.usage, ...(hint ? { hint } : {}) };
  return new ProblemError(problem);
}

/** A whole number in a range, from text. */
export function wholeNumber(
  text: string,
  what: string,
  range: { readonly least: number; readonly most: number },
): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < range.least || value > range.most || text.trim() === '') {
    throw usage(
      'option.range',
      `Cannot use ${what} "${text}": a whole number from ${range.least} to ${range.most} is needed`,
    );
  }
  return value;
}

/** Beats a minute from text. */
export function tempoBpm(text: string): number {
  const value = Number(text);
  if (!Number.isFinite(value) || value < LEAST_BPM || value > MOST_BPM || text.trim() === '') {
    throw usage(
      'option.tempo',
      `Cannot use the tempo "${text}": beats a minute from ${LEAST_BPM} to ${MOST_BPM} are needed`,
    );
  }
  return value;
}

export function bundledNames(): string[] {
  const files = readdirSync(fileURLToPath(BUNDLED)).filter((file) => file.endsWith('.abc'));
  return files.map((file) => basename(file, extname(file))).sort();
}

/** Reads a file or a bundled passage, with everything that was not understood. */
export async function readPassageFile(argument: string): Promise<Reading> {
  // FILE#2 or FILE#title names one tune of several.
  const [, path, tune] = /^(.*?)(?:#(.+))?$/s.exec(argument) as unknown as [
    string,
    string,
    string | undefined,
  ];
  const bundled = bundledNames().includes(path) ? fileURLToPath(new URL(`${path}.abc`, BUNDLED)) : undefined;
  const bytes = readBytes(bundled ?? path, path);
  return readPassageBytes(
    bytes,
    bundled ? path : argument,
    tune === undefined ? {} : { tune: /^\d+$/.test(tune) ? Number(tune) : tune },
  );
}

/** The passage a command works on: read, its part chosen, transposed where asked. Throws a ProblemError. */
export async function loadPassage(argument: string, options: PassageOptions): Promise<Passage> {
  const reading = await readPassageFile(argument);
  if (!reading.passage) {
    const first = reading.issues.find((issue) => issue.severity === 'error');
    throw new ProblemError({
      code: 'passage.unreadable',
      message: first?.message.startsWith('Cannot ')
        ? first.message
        : `Cannot read ${argument}: ${first?.message ?? 'no music was found in it'}`,
      hint:
        first?.code === 'file.damaged'
          ? 'It is damaged or something else: copy it or export it again from where it was made.'
          : `Everything that was not understood: fettle check ${argument}`,
      exitStatus: EXIT.unreadable,
    });
  }
  let passage = reading.passage;
  if (
    options.part !== undefined ||
    options.voice !== undefined ||
    options.hand !== undefined ||
    options.melody
  ) {
    passage = need(choosePart(passage, partChoice(options)));
  }
  if (options.instrument !== undefined) {
    if (!isInstrumentName(options.instrument)) {
      const near = nearWord(options.instrument, INSTRUMENT_NAMES);
      throw usage(
        'instrument.unknown',
        `Cannot use the instrument "${options.instrument}": it is not known`,
        near
          ? `Did you mean ${near}? All: ${INSTRUMENT_NAMES.join(', ')}`
          : `Known: ${INSTRUMENT_NAMES.join(', ')}`,
      );
    }
    // A MIDI file says what sounds; the other forms say what is written.
    const kept = /\.(mid|midi|smf)$/i.test(argument) ? 'sounding' : 'written';
    passage = transposeForInstrument(passage, options.instrument, kept);
  }
  return passage;
}

export async function loadSpan(argument: string, options: PassageOptions): Promise<Span> {
  return need(chooseSpan(await loadPassage(argument, options), options));
}

function partChoice(options: PassageOptions): Parameters<typeof choosePart>[1] {
  const { part, voice, hand } = options;
  if (hand !== undefined && hand !== 'left' && hand !== 'right' && hand !== 'both') {
    throw usage('option.hand', `Cannot use the hand "${hand}": left, right or both is needed`);
  }
  return {
    ...(part === undefined ? {} : { part: /^\d+$/.test(part) ? Number(part) : part }),
    ...(voice === undefined ? {} : { voice: wholeNumber(voice, 'the voice', { least: 1, most: 99 }) }),
    ...(hand === undefined ? {} : { hand }),
    ...(options.melody ? { line: 'melody' as const } : {}),
  };
}

function readBytes(path: string, argument: string): Uint8Array {
  try {
    return readFileSync(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const near = nearWord(argument, bundledNames());
    const why = whyNotOpened(error, 'there is no such file and no bundled passage of that name');
    throw new ProblemError({
      code: code === 'ENOENT' ? 'passage.missing' : 'passage.unreadable',
      message: `Cannot open the passage "${argument}": ${why}`,
      hint: near
        ? `Did you mean ${near}?`
        : `Bundled: ${bundledNames().join(', ')}. A file needs one of ${ENDINGS.join(', ')}`,
      exitStatus: EXIT.unreadable,
    });
  }
}

/** In words, why a file could not be opened for reading. */
export function whyNotOpened(error: unknown, missing = 'there is no such file'): string {
  const { code = '' } = error as NodeJS.ErrnoException;
  const why: Readonly<Record<string, string>> = {
    ENOENT: missing,
    EISDIR: 'it is a folder',
    EACCES: 'this account may not read it',
  };
  return why[code] ?? code;
}
