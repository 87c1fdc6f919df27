// What a judge has to know besides what was asked and what was played.

import type { Expectation } from '../matching/expectation.ts';
import type { PedalChange } from './pedal.ts';
import type { Tolerance } from './tolerance.ts';

export interface JudgeOptions {
  readonly tolerance: Tolerance;
  /** Notes played after the stop, not among `played`. */
  readonly ranOn?: number;
  /** Where this player usually stands on the click, positive = late; unknown without. */
  readonly usualLagMicros?: number;
  /** Of free runs: how slow this player's laps before were, played time over asked time. */
  readonly usualStretch?: number;
  /** All that was asked, where the take was stopped before its end: then only what was tried is judged. */
  readonly whole?: Expectation;
  /** The last onset is a landing to be held so long, where that is judged. */
  readonly holdMicros?: number;
  /** When the last note of an ornament on it was let go, where that went on after it was struck. */
  readonly heldUntilMicros?: number;
  /** When it was judged: a note that was not due by then is not missed. */
  readonly untilMicros?: number;
  /** How strongly each played note was blown, 0 to 127, where the instrument sends breath. */
  readonly breath?: readonly number[];
  /** An uneven touch is a fault and not only told. */
  readonly evenTouch?: boolean;
  /** What the sustain pedal did, in the order of time. */
  readonly pedal?: readonly PedalChange[];
}
