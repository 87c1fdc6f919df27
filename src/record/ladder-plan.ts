// What was asked of a tempo ladder. It is kept with each take, so that the rung can be told from the takes again.

export interface LadderPlan {
  /** A rung is for the drill as a whole (all its steps, then the next rung; see rounds.ts), or each step has a ladder. */
  readonly by: 'round' | 'step';
  readonly startBpm: number;
  /** At least startBpm. */
  readonly goalBpm: number;
  /** Clean takes in a row for a rung up, 1 to 20. */
  readonly up: number;
  /** Misses on a rung for a rung down, 1 to 20. */
  readonly down: number;
  /** How much faster each rung is, as a share: 0.005 to 0.5. Over 0.04 the last stretch is cut finer. */
  readonly stepShare: number;
  /** Instead of stepShare: so many rungs from start to goal, both counted, 2 to 200. */
  readonly rungCount?: number;
  /** Strides of 2 and then 4 rungs as long as nothing has been missed. By rounds, strides are long in any case. */
  readonly jump: boolean;
  /** Every other take at the goal tempo: a look at where this is going. */
  readonly alternate: boolean;
}

/** Clean takes in a row for a rung up, unless told otherwise. */
export const USUAL_UP: Readonly<Record<LadderPlan['by'], number>> = { round: 1, step: 2 };
