// The shapes of a take that need no explanation: where the player stands on the click, the pace of a free run, and time
// lost in slips. What is left after them is explained (explanation.ts).

import type { Expectation } from '../matching/expectation.ts';
import type { Shape } from './cause-shapes.ts';
import { LineFit } from './line-fit.ts';
import type { Moment } from './strands.ts';

/**
 * Where a player stands on the click when nothing is known yet, and when takes before have shown it (common practice, no
 * source).
 */
const LAG_SD_MICROS = 25_000;
const KNOWN_LAG_SD_MICROS = 12_000;

export interface Stood {
  readonly expectation: Expectation;
  /** Onsets before which time may have stood still, whatever the reason: a slip, a stop, a lean. */
  readonly loose: ReadonlySet<number>;
  /** Where this player usually stands on the click, where that is known. */
  readonly usualLagMicros?: number;
}

/**
 * What is known beforehand of where the player stands on the click, as one more observation before the first: it tells
 * a first interval that was short from a first note that was late. Its weight is the fingers' spread over its own.
 */
export function lagRow(
  { expectation: { pulse, zeroMicros }, usualLagMicros }: Stood,
  usualSdMicros: number,
): {
  readonly given: number;
  readonly weight: number;
} {
  if (pulse === 'free' || zeroMicros === undefined) return { given: 0, weight: 0 };
  const weight = usualSdMicros / (usualLagMicros === undefined ? LAG_SD_MICROS : KNOWN_LAG_SD_MICROS);
  return { given: weight * (zeroMicros + (usualLagMicros ?? 0)), weight };
}

/** Without what others say already. */
export function independent(
  given: readonly number[],
  columns: readonly Shape['column'][],
): Shape['column'][] {
  const fit = new LineFit(given);
  return columns.filter((column) => fit.add(column));
}

/** A shape of the moments, with the row for the lag before them. */
export function afterLag(column: Shape['column']): Shape['column'] {
  if ('at' in column) return { at: column.at + 1 };
  if ('from' in column) return { from: column.from + 1 };
  const values = new Float64Array(column.values.length + 1);
  values.set(column.values, 1);
  return { values };
}

/** What needs no explanation: where the player stands on the click, the pace of a free run, time lost in slips. */
export function baseOf(
  { expectation, loose }: Stood,
  moments: readonly Moment[],
  lagWeight: number,
): Shape['column'][] {
  const base: Shape['column'][] = [{ values: [lagWeight, ...moments.map(() => 1)] }];
  if (expectation.pulse === 'free')
    base.push(afterLag({ values: moments.map((m) => m.askedMicros - moments[0]!.askedMicros) }));
  for (let i = 1; i < moments.length; i++) {
    const [before, here] = [moments[i - 1]!.onset, moments[i]!.onset];
    if (before === here) continue;
    let broken = false;
    for (let onset = before + 1; onset <= here; onset++) broken ||= loose.has(onset);
    if (broken) base.push(afterLag({ from: i }));
  }
  return base;
}
