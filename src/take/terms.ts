// All that decides a take besides what was played: what was asked, where it lay in time, how strictly it is judged.
// Plain data, kept with the take, so that it can be judged again.

import type { Line, Run } from '../drills/step.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { Tolerance } from './tolerance.ts';

export interface TakeTerms {
  readonly run: Run;
  readonly line: Line;
  readonly tolerance: Tolerance;
  /** Played time of the run's tick 0; for a free step the earliest time of its first note. */
  readonly zeroMicros: number;
  /** Known constant lag of the player's set-up, positive = late: expected so much after the click. 0: none known. */
  readonly lagMicros: number;
  /** Semitones to add to what comes before it is heard: for a player who sounds whole octaves away. */
  readonly shiftSemitones: number;
  /** From here on notes count. */
  readonly opensMicros: number;
  /** Entered straight from a landing, without a lead-in. */
  readonly joined?: true;
  /** An uneven touch is a fault and not only told. */
  readonly evenTouch?: true;
  /** What takes before have shown of this player: where they stand on the click (past `lagMicros`), how slow laps are. */
  readonly usual?: UsualPlaying;
}

export interface UsualPlaying {
  readonly lagMicros?: number;
  /** Played time over asked time of free runs. */
  readonly stretch?: number;
}

/** What the line's player should do. */
export function expectationOf({ run, line, zeroMicros, lagMicros }: TakeTerms): Expectation {
  const { tempo, paces, pulse } = run;
  const expectation = { onsets: line.onsets, tempo, ...(paces ? { paces } : {}), pulse };
  return pulse === 'click' ? { ...expectation, zeroMicros: zeroMicros + lagMicros } : expectation;
}
