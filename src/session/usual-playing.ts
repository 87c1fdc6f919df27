// Where a player usually stands on the click and how slow their free laps are, learnt from the takes before.

import { median } from '../statistics.ts';
import type { TakeResult } from '../take/result.ts';
import type { UsualPlaying } from '../take/terms.ts';

/** The last takes that say something, oldest first. */
export interface SeenPlaying {
  readonly lagsMicros: readonly number[];
  readonly stretches: readonly number[];
}

const KEPT = 7;
/** One take is no habit. */
const LEAST = 2;
/** A lag from fewer onsets is a guess. */
const LEAST_INTERVALS = 1;

export function usualPlaying(seen: SeenPlaying | undefined): UsualPlaying {
  const { lagsMicros = [], stretches = [] } = seen ?? {};
  return {
    ...(lagsMicros.length >= LEAST ? { lagMicros: Math.round(median(lagsMicros)) } : {}),
    ...(stretches.length > 0 ? { stretch: stretches.at(-1)! } : {}),
  };
}

/** With one more take. One that was not clean is left out: where it stood says more of its fault than of the player. */
export function seenWith(seen: SeenPlaying | undefined, { verdict, clean }: TakeResult): SeenPlaying {
  const { lagsMicros, stretches } = seen ?? { lagsMicros: [], stretches: [] };
  const { placement, intervals, pace } = verdict;
  const lag = placement?.lagMicros;
  if (!clean || intervals.length < LEAST_INTERVALS) return { lagsMicros, stretches };
  return lag === undefined
    ? { lagsMicros, stretches: [...stretches, 1 / pace].slice(-KEPT) }
    : { lagsMicros: [...lagsMicros, lag].slice(-KEPT), stretches };
}
