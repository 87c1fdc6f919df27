// The takes in a return, some or all of them judged again from what was played. To judge a take costs ten times what it
// costs to read one, so that of a long return only some are; where one of these is not as it came, no other is believed.

import type { Entry } from '../record/entry.ts';
import { BEFORE_PLAYING, ExchangeReader } from '../record/exchange-reader.ts';
import { rejudged } from '../record/rejudge.ts';
import { JUDGE_VERSION } from '../take/judge-version.ts';
import type { ReturnedTake } from './judged-again.ts';
import { type Asked, passingTakes } from './outcome.ts';
import type { TextLines } from './text-lines.ts';

type TakesRead =
  | { readonly ok: true; readonly takes: readonly ReturnedTake[] }
  /** `line`: its index from 0. */
  | { readonly ok: false; readonly line: number; readonly why: string };

/** Of the takes that are judged again, so many at most are such as passed a step. */
const PASSING_SHARE = 0.75;

/**
 * Takes from the second line to the last but one.
 * @param most how many of them are judged again, where none turns out otherwise
 */
export function readTakes(lines: TextLines, asked: readonly Asked[], most: number): TakesRead {
  const reader = new ExchangeReader();
  const takes: ReturnedTake[] = [];
  const lineOf: number[] = [];
  for (let line = 1; line < lines.count - 1; line++) {
    const read = reader.readSummary(lines.until(line, BEFORE_PLAYING), () => lines.at(line));
    if (!read.ok) return { ok: false, line, why: read.why };
    if (!read.value) continue;
    takes.push(read.value);
    lineOf.push(line);
  }
  let isDoubtful = false;
  for (const index of chosenOf(takes, asked, most)) {
    const line = lineOf[index]!;
    const read = reader.read(lines.at(line));
    if (!read.ok || read.value.kind !== 'take')
      return { ok: false, line, why: read.ok ? 'it is no take' : read.why };
    const now = judgedAnew(read.value.entry);
    // An earlier judge may well have said something else; this one said it of the same notes.
    if (now.again === 'otherwise' && takes[index]!.judge === JUDGE_VERSION) isDoubtful = true;
    takes[index] = now;
  }
  return isDoubtful && takes.some(({ verdict, again }) => verdict && !again)
    ? readTakes(lines, asked, Number.POSITIVE_INFINITY)
    : { ok: true, takes };
}

/** A take of format 1 has not kept what was played, and stays as it is. */
function judgedAnew({ playing, format1: _, settings: __, ...summary }: Entry): ReturnedTake {
  if (!playing) return summary;
  // The words are for the pupil: what counts here are the figures.
  const now = rejudged({ ...summary, playing }, playing, () => summary.sentence);
  if (!now) return { ...summary, judge: JUDGE_VERSION, again: 'as-it-was' };
  const { playing: ___, ...anew } = now;
  return { ...anew, again: 'otherwise' };
}

/** Indexes of the takes that are judged again: those that passed a step before others, and some of all others. */
function chosenOf(takes: readonly ReturnedTake[], asked: readonly Asked[], most: number): number[] {
  const judged = [...takes.keys()].filter((index) => takes[index]!.verdict);
  if (judged.length <= most) return judged;
  const passing = new Set(
    asked.flatMap((one) => passingTakes(one, takes)).flatMap((take) => (take ? [takes.indexOf(take)] : [])),
  );
  const decisive = spread([...passing], Math.floor(most * PASSING_SHARE));
  const others = judged.filter((index) => !passing.has(index));
  return [...decisive, ...spread(others, most - decisive.length)];
}

/** So many of them at most, as far from one another as can be. */
function spread<T>(all: readonly T[], most: number): T[] {
  const count = Math.min(all.length, most);
  return Array.from({ length: count }, (_, i) => all[Math.floor(((i + 0.5) * all.length) / count)]!);
}
