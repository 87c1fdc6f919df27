// The tempi of a ladder: equal ratios, and near the goal never more than 4 % apart. A change of tempo of 2 to 4 % is
// about what can just be noticed (Drake & Botte 1993, Percept Psychophys 54:277-286: 3 to 4 % for a few intervals).

/** The widest rung near the goal, as a share. */
const FINEST_FROM = 0.04;

export interface RungWishes {
  readonly startBpm: number;
  readonly goalBpm: number;
  readonly stepShare: number;
  /** Exactly so many, start and goal counted, whatever their distance. */
  readonly rungCount?: number;
}

/** Rising; the first is the start, the last the goal; one only where they are the same. */
export function ladderRungs({ startBpm, goalBpm, stepShare, rungCount }: RungWishes): readonly number[] {
  if (goalBpm === startBpm) return [goalBpm];
  if (rungCount !== undefined) return equalRatios(startBpm, goalBpm, rungCount - 1);
  const coarse = equalRatios(startBpm, goalBpm, stepsFor(goalBpm / startBpm, stepShare));
  if (stepShare <= FINEST_FROM) return coarse;
  const before = coarse.at(-2)!;
  const fine = equalRatios(before, goalBpm, stepsFor(goalBpm / before, FINEST_FROM));
  return [...coarse.slice(0, -2), ...fine];
}

/** The fewest steps none of which is wider than asked. */
function stepsFor(ratio: number, stepShare: number): number {
  // Rounding just over a whole number does not make one rung more.
  return Math.max(1, Math.ceil(Math.log(ratio) / Math.log1p(stepShare) - 1e-9));
}

function equalRatios(fromBpm: number, toBpm: number, steps: number): number[] {
  const inside = Array.from(
    { length: steps - 1 },
    (_, i) => fromBpm * (toBpm / fromBpm) ** ((i + 1) / steps),
  );
  return [fromBpm, ...inside, toBpm];
}
