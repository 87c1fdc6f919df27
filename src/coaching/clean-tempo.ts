// The clean tempo of a stretch: how fast every interval of it has been played clean. In pieces: each interval in some
// clean take; in one go: in one clean take that holds all of it. Only complete takes count, played from the entry to
// the stop. [Duke2009] JRME 56:310: how well a passage is played the next day goes with the share of complete takes
// that were right (r = -.71 with the ranking), not with the minutes spent or the number of takes.

import type { OnsetRange } from '../drills/step-onset.ts';

export interface PractisedTake {
  /** Calendar day, whole. */
  readonly day: number;
  readonly tempoBpm: number;
  readonly clean: boolean;
  /** Played from its entry to its stop. */
  readonly complete: boolean;
  /** Onset numbers that it covers, inclusive. */
  readonly first: number;
  readonly last: number;
}

export interface CleanTempo {
  /** The tempo at which every interval has been clean; absent while one has never been. */
  readonly inPiecesBpm?: number;
  /** The fastest clean take that holds the whole stretch. */
  readonly inOneGoBpm?: number;
  /** The interval that holds the stretch back: it begins at this onset. */
  readonly slowestOnset?: number;
}

/** Of the takes given, whatever their days. */
export function cleanTempo(takes: readonly PractisedTake[], { first, last }: OnsetRange): CleanTempo {
  const fastest = new Map<number, number>();
  let inOneGoBpm: number | undefined;
  for (const take of takes) {
    if (!take.clean || !take.complete) continue;
    if (take.first <= first && take.last >= last) inOneGoBpm = Math.max(inOneGoBpm ?? 0, take.tempoBpm);
    for (let onset = Math.max(first, take.first); onset < Math.min(last, take.last); onset++) {
      fastest.set(onset, Math.max(fastest.get(onset) ?? 0, take.tempoBpm));
    }
  }
  const whole = fastest.size === last - first;
  const slowest = whole ? [...fastest].sort((a, b) => a[1] - b[1] || a[0] - b[0])[0] : undefined;
  return {
    ...(slowest ? { inPiecesBpm: slowest[1], slowestOnset: slowest[0] } : {}),
    ...(inOneGoBpm === undefined ? {} : { inOneGoBpm }),
  };
}

/** The share of complete takes that were clean, 0 to 1; undefined without one. */
export function cleanShare(takes: readonly Pick<PractisedTake, 'clean' | 'complete'>[]): number | undefined {
  const complete = takes.filter((take) => take.complete);
  return complete.length === 0 ? undefined : complete.filter(({ clean }) => clean).length / complete.length;
}
