// The intervals of a take: from each onset to the next, where both were played rightly with nothing between.

import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import { ticksToMicros } from '../music/tempo.ts';
import { microsBetween } from '../music/timing.ts';
import type { TimedInterval } from './pace.ts';
import { type Tolerance, toleranceMicros } from './tolerance.ts';
import type { IntervalVerdict } from './verdict.ts';

/** Drivers and wires are good to about 2 ms (USB and operating system jitter): less is never held against a player. */
const NOISE_MICROS = 2_000;

/** A displaced note is just noticeable at 6 ms below 240 ms, 2.5 % above (Friberg & Sundberg 1995, JASA 98:2524). */
export function justNoticeableMicros(intervalMicros: number): number {
  return Math.max(6_000, 0.025 * intervalMicros);
}

/**
 * The intervals that can be judged, as asked and as played. Added notes of an ornament do not stand between. Where two
 * notes were swapped only the interval between them is told (it runs backwards), not the two that it bends.
 */
export function timedIntervals(
  expectation: Expectation,
  alignment: Alignment,
  onsetMicros: readonly (number | undefined)[],
): TimedInterval[] {
  const between = new Set(alignment.extras.filter((e) => e.kind !== 'ornament').map((e) => e.before));
  const backwards = (from: number): boolean => onsetMicros[from + 1]! <= onsetMicros[from]!;
  const intervals: TimedInterval[] = [];
  for (let from = 0; from + 1 < expectation.onsets.length; from++) {
    const start = onsetMicros[from];
    const end = onsetMicros[from + 1];
    if (start === undefined || end === undefined || between.has(from + 1)) continue;
    if (end > start && (backwards(from - 1) || backwards(from + 1))) continue;
    // A fermata is held as long as the player likes.
    if (expectation.onsets[from]!.notes.some((note) => note.articulations?.includes('fermata'))) continue;
    const [here, next] = [expectation.onsets[from]!.tick, expectation.onsets[from + 1]!.tick];
    const askedMicros = microsBetween(expectation, here, next);
    intervals.push({ from, askedMicros, playedMicros: end - start });
  }
  return intervals;
}

/** `stretch` is the time expected over the time asked: 1 against a click, the take's own in a free step. */
export function judgeInterval(
  { from, to = from + 1, askedMicros, playedMicros }: TimedInterval,
  expectation: Expectation,
  tolerance: Tolerance,
  stretch: number,
): IntervalVerdict {
  const expectedMicros = Math.round(askedMicros * stretch);
  const deviationMicros = playedMicros - expectedMicros;
  const allowedMicros = Math.max(toleranceMicros(tolerance, expectedMicros), NOISE_MICROS);
  const leanTicks = expectation.onsets[from]!.leanTicks;
  const clean =
    leanTicks === undefined || leanTicks <= 0
      ? Math.abs(deviationMicros) <= allowedMicros
      : leanedWell({
          deviationMicros,
          expectedMicros,
          allowedMicros,
          leanMicros: ticksToMicros(leanTicks, expectation.tempo) * stretch,
        });
  return {
    from,
    to,
    expectedMicros,
    playedMicros,
    deviationMicros,
    share: expectedMicros > 0 ? deviationMicros / expectedMicros : 0,
    allowedMicros,
    clean,
  };
}

/** A lean may be too short by this share of the tolerance: half, and more because the pace is known roughly. Judgement. */
const LEAN_SHORT_SHARE = 0.56;
/** Half as long again is generous (common practice, no source). */
const GENEROUS_SHARE = 0.5;

/** A leaned note is not short by more than can be heard or is allowed; a lean may be generous, as long as it is no stop. */
function leanedWell({
  deviationMicros,
  expectedMicros,
  allowedMicros,
  leanMicros,
}: Pick<IntervalVerdict, 'deviationMicros' | 'expectedMicros' | 'allowedMicros'> & {
  readonly leanMicros: number;
}): boolean {
  const heard = justNoticeableMicros(expectedMicros);
  const most = Math.max(leanMicros, GENEROUS_SHARE * expectedMicros);
  return (
    deviationMicros >= -Math.max(heard, LEAN_SHORT_SHARE * allowedMicros) && deviationMicros <= most + heard
  );
}
