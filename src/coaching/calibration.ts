// Calibration: what a player's taps along with steady clicks, and a steady stream from the instrument, say about a
// set-up. The constant lag (instrument, sound path and habit together) is the median of tap minus click: positive =
// late. Players tap a little before a click as a matter of course (facts on negative mean asynchrony: 20 to 80 ms in
// non-musicians, 0 to 30 ms in trained musicians; Repp 2005, Psychon Bull Rev 12:969-992, from memory), so the lag is
// taken off before judging and never blamed on anyone. Spread is robust: 1.4826 times the median absolute deviation,
// which is the standard deviation for normal errors (Rousseeuw and Croux 1993, JASA 88:1273). Microseconds throughout.

import { median, robustSd } from '../statistics.ts';
import type { Tolerance } from '../take/tolerance.ts';

/** Clicks of one calibration. */
export const CALIBRATION_CLICKS = 16;
/** The first clicks are for finding the beat and are not counted (common practice, no source). */
const SETTLING_CLICKS = 3;
/** Fewer taps than this say nothing. */
const LEAST_TAPS = 8;
/** A tap farther than this share of a beat from every click answers none of them. */
const REACH = 0.45;
/** Placement is known to within two standard errors; a lag less sure than the noise floor of a cable is not kept. */
const SUREST_MICROS = 2000;

export interface Lag {
  /** Median of tap minus click, positive = late. */
  readonly lagMicros: number;
  /** Robust standard deviation of single taps: the player's hand and the machine's jitter together. */
  readonly spreadMicros: number;
  /** Standard error of the lag: it is this sure. */
  readonly sureMicros: number;
  /** Taps counted, and clicks that had none. */
  readonly taps: number;
  readonly missed: number;
}

export type LagOutcome = { readonly ok: true; readonly lag: Lag } | ({ readonly ok: false } & LagTrouble);

export type LagTrouble =
  /** Clicks answered, of those that count. */
  | { readonly reason: 'too-few'; readonly answered: number; readonly clicks: number }
  | { readonly reason: 'too-loose'; readonly spreadMicros: number };

/** From the clicks' times and the taps' (both ascending, same clock). Each click takes the nearest tap within reach. */
export function estimateLag(clicksMicros: readonly number[], tapsMicros: readonly number[]): LagOutcome {
  const beat = median(differences(clicksMicros));
  const counted = clicksMicros.slice(SETTLING_CLICKS);
  // The lag may be large (a slow sound path): taps are first lined up as a whole, then each with its click.
  const rough = roughLag(counted, tapsMicros, beat);
  const offsets: number[] = [];
  for (const click of counted) {
    const nearest = nearestTo(click + rough, tapsMicros);
    if (nearest !== undefined && Math.abs(nearest - click - rough) <= beat * REACH)
      offsets.push(nearest - click);
  }
  if (offsets.length < LEAST_TAPS)
    return { ok: false, reason: 'too-few', answered: offsets.length, clicks: counted.length };
  const lagMicros = Math.round(median(offsets));
  const spreadMicros = Math.round(robustSd(offsets));
  // Standard error of a median of normal errors: sqrt(pi / 2) standard deviations over the root of their number.
  const sureMicros = Math.round(Math.sqrt(Math.PI / 2) * (spreadMicros / Math.sqrt(offsets.length)));
  if (spreadMicros > beat / 8) return { ok: false, reason: 'too-loose', spreadMicros };
  const lag = {
    lagMicros,
    spreadMicros,
    sureMicros,
    taps: offsets.length,
    missed: counted.length - offsets.length,
  };
  return { ok: true, lag };
}

export interface Jitter {
  /** Robust standard deviation of an onset's place in a stream that was sent evenly. */
  readonly onsetMicros: number;
  /** The same for an interval, which has two ends. Judging cannot be finer than this. */
  readonly intervalMicros: number;
  readonly notes: number;
}

/**
 * How much the set-up alone moves notes, from a steady stream (an arpeggiator, a sequencer, a second Fettle): the
 * stream's own pace is fitted, what is left is jitter. Undefined for fewer than eight notes.
 */
export function measureJitter(onsetsMicros: readonly number[]): Jitter | undefined {
  if (onsetsMicros.length < LEAST_TAPS) return undefined;
  const onset = robustSd(withoutLine(onsetsMicros));
  return {
    onsetMicros: Math.round(onset),
    // Independent errors at both ends: the square root of two (Wing and Kristofferson 1973, with no clock variance).
    intervalMicros: Math.round(onset * Math.SQRT2),
    notes: onsetsMicros.length,
  };
}

/**
 * Can this set-up be judged at a tolerance? Its jitter must leave the player room: three standard deviations of an
 * interval's error, which one interval in 370 exceeds, must fit into half the narrowest tolerance.
 */
export function isJudgeable(jitter: Jitter, tolerance: Tolerance): boolean {
  return 3 * jitter.intervalMicros <= tolerance.floorMicros / 2;
}

/** Where a player's notes stand: on the click as far as that is known, or to one side of it. */
export function lagSide({ lagMicros, sureMicros }: Lag): 'on' | 'before' | 'after' {
  if (Math.abs(lagMicros) <= Math.max(SUREST_MICROS, 2 * sureMicros)) return 'on';
  return lagMicros < 0 ? 'before' : 'after';
}

/** The shift, from half a beat early to half a beat late, by which the taps as a whole fit the clicks best. */
function roughLag(clicks: readonly number[], taps: readonly number[], beat: number): number {
  // On the circle of one beat the mean direction has no seam at half a beat (Fisher 1993, Statistical Analysis of
  // Circular Data, 2.3.1).
  let sine = 0;
  let cosine = 0;
  const zero = clicks[0] ?? 0;
  for (const tap of taps) {
    const turn = ((tap - zero) / beat) * 2 * Math.PI;
    sine += Math.sin(turn);
    cosine += Math.cos(turn);
  }
  return (Math.atan2(sine, cosine) / (2 * Math.PI)) * beat;
}

function nearestTo(time: number, times: readonly number[]): number | undefined {
  let best: number | undefined;
  for (const other of times) {
    if (best === undefined || Math.abs(other - time) < Math.abs(best - time)) best = other;
  }
  return best;
}

/** What is left of evenly numbered times when their least-squares line is taken off. */
function withoutLine(times: readonly number[]): number[] {
  const middle = (times.length - 1) / 2;
  const mean = times.reduce((sum, time) => sum + time, 0) / times.length;
  const squares = times.reduce((sum, _, i) => sum + (i - middle) ** 2, 0);
  const slope = times.reduce((sum, time, i) => sum + (i - middle) * (time - mean), 0) / squares;
  return times.map((time, i) => time - mean - slope * (i - middle));
}

function differences(values: readonly number[]): number[] {
  return values.slice(1).map((value, i) => value - (values[i] ?? value));
}
