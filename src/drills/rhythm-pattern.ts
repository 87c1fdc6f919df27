// The rhythms in which an even run is practised. A group takes exactly the time of its even notes, so that the first
// note of every group stays where it was written and the click goes on.

export interface RhythmPattern {
  readonly name: string;
  /** Shares of the group's time, one a note; their sum is 1. */
  readonly shares: readonly number[];
}

export type GroupSize = 2 | 3 | 4;

/**
 * Pairs are dotted, three to one. In groups of three and four the long note has half of the group's time and the
 * short ones share the other half (sixteenths: an eighth and a triplet of sixteenths), in each place in turn.
 */
export const PATTERNS: Readonly<Record<GroupSize, readonly RhythmPattern[]>> = {
  2: [
    { name: 'long-short', shares: [3 / 4, 1 / 4] },
    { name: 'short-long', shares: [1 / 4, 3 / 4] },
  ],
  3: longInEachPlace(3),
  4: longInEachPlace(4),
};

function longInEachPlace(size: number): RhythmPattern[] {
  return Array.from({ length: size }, (_, long) => {
    const places = Array.from({ length: size }, (_, place) => place === long);
    return {
      name: places.map((isLong) => (isLong ? 'long' : 'short')).join('-'),
      shares: places.map((isLong) => (isLong ? 1 / 2 : 1 / 2 / (size - 1))),
    };
  });
}
