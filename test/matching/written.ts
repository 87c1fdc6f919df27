// Lines and takes written down as ABC (standard 2.1, abcnotation.com): a letter is a sixteenth at 60 a minute, 250 ms.
// Anybody can read, sing and play them, and our own reader makes music of them.

import type { Expectation } from '../../src/matching/expectation.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { readAbc } from '../../src/notation/abc/reader.ts';
import { line, perfect } from './takes.ts';

const HEADER = 'X:1\nT:line\nM:none\nL:1/16\nQ:1/4=60\nK:C\n';

/** What should be played. */
export async function writtenLine(abc: string, extra: Partial<Expectation> = {}): Promise<Expectation> {
  const { passage, issues } = await readAbc(`${HEADER}${abc}\n`, 'line');
  if (!passage) throw new Error(issues.map(({ message }) => message).join('; '));
  return { ...line([60], extra), onsets: passage.onsets };
}

/** What was played: each note at its written time exactly, `slower` times as slow. */
export async function writtenTake(abc: string, slower = 1): Promise<PlayedNote[]> {
  return perfect(await writtenLine(abc), slower).sort((a, b) => a.onMicros - b.onMicros);
}
