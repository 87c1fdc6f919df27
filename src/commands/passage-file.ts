// PASSAGE on the command line, as it is read: a bundled name or a file, or one tune of a file.

import { existsSync } from 'node:fs';
import { readFileBytes, whyNotOpened } from '../devices/file-bytes.ts';
import { kindOf, kindWords } from '../lesson/file-kind.ts';
import { readLesson } from '../lesson/lesson-text.ts';
import { readPassageBytes } from '../notation/read.ts';
import { type FileReading, LARGEST_FILE_BYTES } from '../notation/reading.ts';
import { EXIT, ProblemError } from '../problem.ts';
import { bundledNames, bundledPath } from './bundled-passages.ts';
import { assignmentIndex, assignmentPassage } from './lesson-file.ts';
import { MUSIC_ENDINGS, nearPassage } from './near-passage.ts';
import { need } from './usage-problem.ts';

/** Reads a file or a bundled passage, with everything that was not understood. */
export async function readPassageFile(argument: string): Promise<FileReading> {
  const { path, tune } = pathAndTune(argument);
  const bundled = bundledPath(path);
  const bytes = readBytes(bundled ?? path, path);
  if (bytes[0] === BRACE) return readOwnFile(bytes, path, tune);
  return readPassageBytes(
    bytes,
    bundled ? path : argument,
    tune === undefined ? {} : { tune: /^\d+$/.test(tune) ? Number(tune) : tune },
  );
}

/** What files of Fettle's own begin with, and no music file does. */
const BRACE = 0x7b;

/** A lesson's assignment as a passage; what else Fettle writes is no passage, and is told by its name. */
function readOwnFile(bytes: Uint8Array, path: string, number: string | undefined): FileReading {
  const text = new TextDecoder().decode(bytes);
  const kind = kindOf(text);
  if (kind === 'lesson' && number !== undefined && /^\d+$/.test(number)) {
    const lesson = need(readLesson(text, path));
    const passage = assignmentPassage(lesson, assignmentIndex(lesson, number, path), path);
    return { passage, issues: [], noteCount: passage.onsets.flatMap(({ notes }) => notes).length };
  }
  const what = kindWords({ fettle: kind });
  const instead: Readonly<Record<string, string>> = {
    lesson: `fettle lesson show ${path} lists it, fettle work ${path} works it; ${path}#1 is the music of its first assignment.`,
    'lesson return': `fettle lesson read ${path} reads it.`,
    'practice record': `fettle record import ${path} takes it up.`,
  };
  throw new ProblemError({
    code: 'passage.other',
    message: `Cannot take "${path}" for a passage: it is ${what}`,
    hint: instead[kind ?? ''] ?? `A passage is one of ${MUSIC_ENDINGS.join(', ')}.`,
    exitStatus: EXIT.unreadable,
  });
}

/**
 * FILE#2 or FILE#title names one tune of several; a file that has a "#" in its name is found by the whole of it.
 */
function pathAndTune(argument: string): { readonly path: string; readonly tune?: string } {
  const cuts = [...argument.matchAll(/#/g)].map(({ index }) => index).reverse();
  const splits = cuts.map((at) => ({ path: argument.slice(0, at), tune: argument.slice(at + 1) }));
  const named = [{ path: argument }, ...splits.filter(({ tune }) => tune !== '')];
  // The longest name that there is; where there is none, what comes before the first "#" is told as missing.
  return named.find(({ path }) => bundledPath(path) !== undefined || existsSync(path)) ?? named.at(-1)!;
}

function readBytes(path: string, argument: string): Uint8Array {
  try {
    return readFileBytes(path, LARGEST_FILE_BYTES);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const near = code === 'ENOENT' ? nearPassage(argument) : undefined;
    const why = whyNotOpened(error, 'there is no such file and no bundled passage of that name');
    throw new ProblemError({
      code: code === 'ENOENT' ? 'passage.missing' : 'passage.unreadable',
      message: `Cannot open the passage "${argument}": ${why}`,
      hint: near
        ? `Did you mean ${near}?`
        : `Bundled: ${bundledNames().join(', ')}. A file needs one of ${MUSIC_ENDINGS.join(', ')}`,
      exitStatus: EXIT.unreadable,
    });
  }
}
