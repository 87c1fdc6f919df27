// What a session has to report of one player's take; the sentence about it is made where it is told.

import type { Line } from '../drills/step.ts';
import type { LateFingers } from '../fingering/late-finger.ts';
import type { Slip } from '../matching/follow.ts';
import type { TakeResult } from '../take/result.ts';
import type { TakeVerdict } from '../take/verdict.ts';

export interface TakeReport {
  readonly verdict: TakeVerdict;
  /** What was asked: the verdict's indexes point into its onsets. */
  readonly line: Line;
  /** The slip for which the run was stopped, if it was. */
  readonly stoppedFor?: Slip;
  /** Where the worst trouble is a blip and fingers explain it. */
  readonly lateFingers?: LateFingers;
}

export function takeReport(
  { verdict, stoppedFor }: TakeResult,
  line: Line,
  fingers: LateFingers | undefined,
): TakeReport {
  return {
    verdict,
    line,
    ...(stoppedFor ? { stoppedFor } : {}),
    ...(fingers ? { lateFingers: fingers } : {}),
  };
}
