// What several takes say about the timing of each interval: its systematic deviation (the mean over takes) apart from
// its variability from take to take (van Vugt, Jabusch & Altenmüller 2012, Front Psychol 3:495). Takes may differ in
// tempo: everything is a share of the interval at the take's own pace, slow drift removed.

import type { ExpectedOnset } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { mean, median, medianSlope, robustSd, sampleSd } from '../statistics.ts';
import type { TakeVerdict } from '../take/verdict.ts';

/** A take of a survey. With what was asked and played, the place where a restart began is known exactly. */
export interface SurveyTake {
  readonly verdict: TakeVerdict;
  readonly onsets?: readonly ExpectedOnset[];
  readonly played?: readonly PlayedNote[];
}

/** The ordinary unevenness of one take, in two parts: see splitVariances. */
export interface VarianceSplit {
  /** SD of the timekeeper as a share of the interval. */
  readonly clockShare: number;
  /** SD of the motor delay. */
  readonly motorSdMicros: number;
}

export interface IntervalFigures {
  /** Index from 0 of the onset where it begins. */
  readonly from: number;
  /** Length asked, median of the takes that played it; 0 if none did. */
  readonly expectedMicros: number;
  /** Deviations, one for each take that played it without a stop, positive = too long. */
  readonly shares: readonly number[];
  /** Takes in which the player stopped before the next onset. */
  readonly hesitations: readonly number[];
  /** Mean of the shares: the systematic part. 0 without any. */
  readonly deviationShare: number;
  /** Sample SD of the shares over takes: the variability. Absent with fewer than two. */
  readonly spreadShare?: number;
  /** SD that one take of an ordinary interval of this length has. */
  readonly ordinaryShare: number;
}

/** Longer than asked by more than this share is a stop, not a matter of unevenness. */
const HESITATION_SHARE = 0.45;

/** No instrument's stamps are finer (1 ms for a USB poll, two of them to an interval; facts of MIDI). */
const STAMP_SD_MICROS = 1_500;

export function intervalFigures(
  takes: readonly SurveyTake[],
  onsetCount: number,
): { readonly intervals: readonly IntervalFigures[]; readonly split: VarianceSplit } {
  const normal = takes.map(({ verdict }) => normalShares(verdict, onsetCount));
  const split = splitVariances(normal);
  const intervals = Array.from({ length: Math.max(0, onsetCount - 1) }, (_, from) => {
    const here = normal.map((take) => take[from]);
    const expectedMicros = middle(here.flatMap((cell) => (cell ? [cell.expectedMicros] : [])));
    const stops = (cell: ShareCell | undefined) => cell !== undefined && cell.share > HESITATION_SHARE;
    const shares = here.flatMap((cell, t) => {
      if (cell === undefined || stops(cell)) return [];
      // After a stop players catch up: a short interval there comes of the stop and is no fault of its own.
      return stops(normal[t]![from - 1]) && cell.share < 0 ? [] : [cell.share];
    });
    return {
      from,
      expectedMicros,
      shares,
      hesitations: here.flatMap((cell, t) => (stops(cell) ? [t] : [])),
      deviationShare: shares.length > 0 ? mean(shares) : 0,
      ...(shares.length > 1 ? { spreadShare: sampleSd(shares) } : {}),
      ordinaryShare: ordinaryShare(split, expectedMicros),
    };
  });
  return { intervals: withoutReplies(intervals), split };
}

/** SD of one ordinary interval, share of it: var(I) = var(C) + 2 var(D). */
function ordinaryShare(split: VarianceSplit, expectedMicros: number): number {
  if (expectedMicros <= 0) return split.clockShare;
  const motor = Math.max(split.motorSdMicros, STAMP_SD_MICROS) / expectedMicros;
  return Math.sqrt(split.clockShare ** 2 + 2 * motor ** 2);
}

export interface ShareCell {
  readonly share: number;
  readonly expectedMicros: number;
}

/** By interval; undefined where the take has none. */
function normalShares(verdict: TakeVerdict, onsetCount: number): (ShareCell | undefined)[] {
  const cells: (ShareCell | undefined)[] = Array.from({ length: Math.max(0, onsetCount - 1) });
  const ratios = verdict.intervals
    .filter((interval) => interval.expectedMicros > 0)
    .map((interval) => ({ interval, ratio: interval.playedMicros / interval.expectedMicros }));
  if (ratios.length === 0) return cells;
  const pace = median(ratios.map(({ ratio }) => ratio));
  const centre = median(ratios.map(({ interval }) => interval.from));
  const slope = medianSlope(ratios.map(({ interval, ratio }) => ({ x: interval.from, y: ratio / pace })));
  for (const { interval, ratio } of ratios) {
    const drift = Number.isNaN(slope) ? 0 : slope * (interval.from - centre);
    // A line through few intervals may point anywhere: nobody's tempo changes by more than a third in a take.
    const own = pace * (1 + Math.max(-0.33, Math.min(0.33, drift)));
    cells[interval.from] = { share: ratio / own - 1, expectedMicros: interval.expectedMicros };
  }
  return cells;
}

/**
 * Clock and motor variance after Wing & Kristofferson 1973: the lag-1 autocovariance of intervals is -var(D), the
 * rest of the variance, less var(D) once more, is the clock's. What is systematic is removed first (the mean of each
 * interval over takes), and what stands out is drawn in to 2.5 SDs, so that the snags themselves do not count.
 */
export function splitVariances(takes: readonly (readonly (ShareCell | undefined)[])[]): VarianceSplit {
  const residuals = takesResiduals(takes);
  const values = residuals.flat().filter((r) => r !== undefined);
  if (values.length < 4) return { clockShare: 0.04, motorSdMicros: 8_000 };
  const most = 2.5 * Math.max(robustSd(values.map((r) => r.share)), 0.001);
  const drawnIn = (share: number) => Math.max(-most, Math.min(most, share));
  const products: number[] = [];
  for (const take of residuals) {
    for (let i = 1; i < take.length; i++) {
      const [a, b] = [take[i - 1], take[i]];
      if (a && b) products.push(drawnIn(a.share) * a.expectedMicros * drawnIn(b.share) * b.expectedMicros);
    }
  }
  const variance = mean(values.map((r) => drawnIn(r.share) ** 2));
  const inverseSquare = mean(values.map((r) => 1 / r.expectedMicros ** 2));
  // Bounded by the model's own law: the autocorrelation is never below -0.5.
  const motor = Math.max(
    0,
    Math.min(products.length > 0 ? -mean(products) : 0, variance / (2 * inverseSquare)),
  );
  return {
    clockShare: Math.sqrt(Math.max(0, variance - 2 * motor * inverseSquare)),
    motorSdMicros: Math.sqrt(motor),
  };
}

/** Each take's deviations less the mean of the interval over takes, made as large as single takes' are. */
function takesResiduals(takes: readonly (readonly (ShareCell | undefined)[])[]): (ShareCell | undefined)[][] {
  const length = Math.max(0, ...takes.map((take) => take.length));
  const residuals: (ShareCell | undefined)[][] = takes.map(() => Array.from({ length }));
  for (let i = 0; i < length; i++) {
    const here = takes.flatMap((take, t) => {
      const cell = take[i];
      return cell && cell.share <= HESITATION_SHARE ? [{ t, cell }] : [];
    });
    // With one take only, its own deviations are all there is.
    const average = here.length > 1 ? mean(here.map(({ cell }) => cell.share)) : 0;
    const grow = here.length > 1 ? Math.sqrt(here.length / (here.length - 1)) : 1;
    if (here.length === 1 && takes.length > 1) continue;
    for (const { t, cell } of here) residuals[t]![i] = { ...cell, share: (cell.share - average) * grow };
  }
  return residuals;
}

/**
 * One onset early or late makes one interval too short or long and the next the other way. The second is the reply:
 * as much of it as the first explains is taken away.
 */
function withoutReplies(intervals: readonly IntervalFigures[]): IntervalFigures[] {
  return intervals.map((interval, i) => {
    const before = intervals[i - 1];
    if (!before || before.shares.length === 0 || interval.shares.length === 0) return interval;
    const outstanding =
      Math.abs(before.deviationShare) > (3 * before.ordinaryShare) / Math.sqrt(before.shares.length) &&
      before.deviationShare * interval.deviationShare < 0;
    if (!outstanding) return interval;
    const explained = Math.min(
      Math.abs(before.deviationShare * before.expectedMicros) / interval.expectedMicros,
      Math.abs(interval.deviationShare),
    );
    const shift = interval.deviationShare > 0 ? -explained : explained;
    return {
      ...interval,
      shares: interval.shares.map((share) => share + shift),
      deviationShare: interval.deviationShare + shift,
    };
  });
}

function middle(values: readonly number[]): number {
  return values.length > 0 ? median(values) : 0;
}
