// Where a step stands: at its gate, on its ladder, or among the run-throughs of a survey.

import type { Gate } from '../coaching/gate.ts';
import type { Ladder } from '../coaching/ladder.ts';

export interface StepStanding {
  readonly gate: Gate;
  readonly ladder?: Ladder | undefined;
  /** Of a survey: which run-through it is, from 1, of how many. */
  readonly runThrough?: { readonly number: number; readonly of: number } | undefined;
}
