// The ABC reader (ABC 2.1, December 2011): one tune of a file to a passage.
//
// Its own reading, not a library's: the engraving that the ABC libraries aim at loses what matters here. Measured with
// abcjs 6.7.2: a voice that pauses for a line slides into another staff, (5 (7 and (9 in compound meter get the wrong
// length, !dacoda! is unknown, tempos are cut to whole numbers, ties in overlays are lost, and loading it takes 270 ms.
// abcjs and abc2midi are the second opinions in the tests.

import { buildPassage } from '../draft/passage-builder.ts';
import { type FileReading, IssueList, LARGEST_FILE_BYTES, unreadable } from '../reading.ts';
import { AbcBody } from './body.ts';
import { type AbcBook, findTune, openAbcBook } from './book.ts';
import { withClefs } from './clefs.ts';
import { AbcHeader } from './header.ts';
import { assembleScore } from './score.ts';

export interface AbcOptions {
  /** X: number, place in the file from 1, or title; the first tune without it. */
  readonly tune?: number | string;
}

/** Reads one tune. `name` is the passage's name, as the player gave it. */
export async function readAbc(text: string, name: string, options: AbcOptions = {}): Promise<FileReading> {
  if (text.length > LARGEST_FILE_BYTES) {
    return unreadable(
      'file.too-large',
      `Cannot read ${name}: more than ${LARGEST_FILE_BYTES} characters of ABC`,
    );
  }
  const book = openAbcBook(text);
  const tune = options.tune === undefined ? book.tunes[0] : findTune(book, options.tune);
  if (!tune) {
    return book.tunes.length === 0
      ? unreadable('abc.empty', `Cannot read ${name}: it is empty`)
      : unreadable('abc.tune', missingTune(book, name, options));
  }
  const issues = new IssueList();
  if (options.tune === undefined && book.tunes.length > 1) {
    const others = book.tunes.length === 2 ? 'the other one' : `one of the others`;
    const message = `The first of ${book.tunes.length} tunes is read; ask for ${others} with ${name}#NUMBER`;
    issues.warn('abc.several-tunes', message);
  }
  const header = new AbcHeader(issues);
  for (const line of book.header) header.readLine(line);
  let body: AbcBody | undefined;
  let inText = false;
  for (const line of tune.lines) {
    if (issues.failed) break;
    // %%begintext ... %%endtext and their like hold no music.
    const block = /^%%\s*(begin|end)(text|ps|svg|ml)\b/.exec(line.text);
    if (block) inText = block[1] === 'begin';
    if (block || inText || (!body && header.readLine(line))) continue;
    body ??= new AbcBody(header, line, issues);
    body.readLine(line);
  }
  if (!body) {
    issues.error('abc.no-music', `Cannot read ${name}: the tune has a header but no music`);
    return { issues: issues.list(), noteCount: 0 };
  }
  body.finish();
  const read = buildPassage(assembleScore(header, body, issues), name, issues);
  return read.passage ? { ...read, passage: withClefs(read.passage, body.voices.values()) } : read;
}

function missingTune(book: AbcBook, name: string, options: AbcOptions): string {
  const list = book.tunes.slice(0, 12).map((tune) => `${tune.number || '?'} ${tune.title}`.trim());
  const more = book.tunes.length > 12 ? ', ...' : '';
  const file = name.replace(/#[^#]*$/, '');
  return `Cannot find tune "${options.tune}" in ${file}: its tunes are ${list.join(', ')}${more}`;
}
