// The notes of a take as moments: one for each onset, or one for each hand at an onset where two hands play. What is
// judged of a hand, and what explains a take, is read from them.

import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { microsAt } from '../music/timing.ts';
import { mean, median, sampleSd } from '../statistics.ts';
import type { Strand } from './hands.ts';
import type { TimedInterval } from './pace.ts';

/** When an onset, or one hand's notes of it, was played rightly. */
export interface Moment {
  readonly onset: number;
  readonly hand?: Strand;
  /** Index of the hand's highest note there. */
  readonly note?: number;
  /** From the expectation's tick 0, at the tempo asked. */
  readonly askedMicros: number;
  readonly atMicros: number;
}

/** By onset, the hands of an onset in the order of their names. */
export function momentsOf(
  expectation: Expectation,
  played: readonly PlayedNote[],
  alignment: Alignment,
  onsetMicros: readonly (number | undefined)[],
  hands: readonly (readonly Strand[])[] | undefined,
): Moment[] {
  const asked = expectation.onsets.map((o) => microsAt(expectation, o.tick));
  if (!hands) {
    return onsetMicros.flatMap((atMicros, onset) =>
      atMicros === undefined ? [] : [{ onset, askedMicros: asked[onset]!, atMicros }],
    );
  }
  const times = new Map<
    string,
    { onset: number; hand: Strand; note: number; at: number[]; whole: boolean }
  >();
  for (const { onset, note, verdict, played: by } of alignment.notes) {
    if (verdict === 'omitted' || expectation.onsets[onset]!.notes[note]!.ornament === 'grace') continue;
    const hand = hands[onset]![note]!;
    const key = `${onset} ${hand}`;
    const strand = times.get(key) ?? { onset, hand, note, at: [], whole: true };
    times.set(key, strand);
    const { notes } = expectation.onsets[onset]!;
    if (notes[note]!.pitch > notes[strand.note]!.pitch) strand.note = note;
    if (verdict === 'right' && by !== undefined) strand.at.push(played[by]!.onMicros);
    else strand.whole = false;
  }
  return [...times.values()]
    .filter(({ whole }) => whole)
    .map(({ onset, hand, note, at }) => ({
      onset,
      hand,
      note,
      askedMicros: asked[onset]!,
      atMicros: Math.round(median(at)),
    }))
    .sort((a, b) => a.onset - b.onset || (a.hand < b.hand ? -1 : 1));
}

/** Which of two hands, and the indexes of its highest notes where an interval of it begins and ends. */
export interface HandNotes {
  readonly name: Strand;
  readonly notes: readonly [number, number];
}

/** An interval of one hand: from a moment of it to its next. */
export interface HandInterval extends TimedInterval {
  readonly to: number;
  readonly hand: HandNotes;
}

/** Between moments of one hand with no slip on the way. `broken`: onsets that do not follow in time from the one before. */
export function handIntervals(moments: readonly Moment[], broken: ReadonlySet<number>): HandInterval[] {
  const last = new Map<Strand, Moment>();
  const intervals: HandInterval[] = [];
  for (const moment of moments) {
    const { hand } = moment;
    if (hand === undefined) continue;
    const before = last.get(hand);
    last.set(hand, moment);
    if (!before) continue;
    let whole = true;
    for (let onset = before.onset + 1; onset <= moment.onset; onset++) whole &&= !broken.has(onset);
    if (!whole) continue;
    intervals.push({
      from: before.onset,
      to: moment.onset,
      hand: { name: hand, notes: [before.note!, moment.note!] },
      askedMicros: moment.askedMicros - before.askedMicros,
      playedMicros: moment.atMicros - before.atMicros,
    });
  }
  return intervals;
}

/** How two hands stood to each other where they struck together. */
export interface StrandsTogether {
  /** Who was behind, by the mean of the differences. */
  readonly behind: Strand;
  readonly byMicros: number;
  /** Standard deviation of the differences (Rasch 1979, Acustica 43:121): how well they were together. */
  readonly sdMicros: number;
  readonly onsets: number;
}

/** Undefined where they struck together less than twice. */
export function togetherOf(moments: readonly Moment[]): StrandsTogether | undefined {
  const pairs: { first: Moment; second: Moment }[] = [];
  for (let i = 1; i < moments.length; i++) {
    const [first, second] = [moments[i - 1]!, moments[i]!];
    if (first.onset === second.onset) pairs.push({ first, second });
  }
  if (pairs.length < 2) return undefined;
  const apart = pairs.map(({ first, second }) => second.atMicros - first.atMicros);
  const middle = mean(apart);
  const { first, second } = pairs[0]!;
  return {
    behind: (middle >= 0 ? second : first).hand!,
    byMicros: Math.abs(middle),
    sdMicros: sampleSd(apart),
    onsets: pairs.length,
  };
}
