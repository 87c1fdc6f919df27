// Even runs: onsets that follow one another at one and the same distance.

import type { StepOnset } from './step.ts';
import type { OnsetRange } from './step-onset.ts';

/** The one distance between all neighbours, in ticks; undefined where the line is not even. */
export function evenTicks(onsets: readonly StepOnset[]): number | undefined {
  const ticks = onsets[1]!.tick - onsets[0]!.tick;
  return unevenPlace(onsets) === undefined ? ticks : undefined;
}

/** Number of the first onset after which the distance is not the first one. */
export function unevenPlace(onsets: readonly StepOnset[]): number | undefined {
  const ticks = onsets[1]!.tick - onsets[0]!.tick;
  for (let i = 1; i < onsets.length - 1; i++) {
    if (onsets[i + 1]!.tick - onsets[i]!.tick !== ticks) return onsets[i]!.number;
  }
  return undefined;
}

/** The longest even run among the onsets; of several the first. */
export function longestEvenRun(onsets: readonly StepOnset[]): OnsetRange {
  let best = { first: onsets[0]!.number, last: onsets[1]!.number };
  let from = 0;
  for (let i = 1; i < onsets.length; i++) {
    const ticks = onsets[i]!.tick - onsets[i - 1]!.tick;
    if (i - from > 1 && ticks !== onsets[i - 1]!.tick - onsets[i - 2]!.tick) from = i - 1;
    if (i - from > best.last - best.first) best = { first: onsets[from]!.number, last: onsets[i]!.number };
  }
  return best;
}
