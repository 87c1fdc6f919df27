// What a session is going to do: the steps in order and the rules for them. Made once, never changed.

import type { Ladder } from '../coaching/ladder.ts';
import type { ClickPlacement } from '../drills/click-placement.ts';
import type { DrillSettings } from '../drills/drill.ts';
import type { Step } from '../drills/step.ts';
import type { Span } from '../music/span.ts';
import type { Tolerance } from '../take/tolerance.ts';
import type { Control, PlayerId } from './event.ts';

export interface PlannedStep {
  readonly drill: string;
  readonly step: Step;
  /** What the drill was told when it made this step: needed to make it again with other stops. */
  readonly settings: DrillSettings;
  /** Where its clicks were put, if not on every beat. */
  readonly click?: ClickPlacement;
  /** The tempo ladder that this step climbs, from where it stands; without one the gate counts. */
  readonly ladder?: Ladder;
}

/** Controls on the instrument itself. */
export interface InstrumentControls {
  /** What the sustain pedal does when it goes down, where set. */
  readonly pedal?: Control;
  /** Sounding pitches that are controls and never notes of the passage. */
  readonly notes: Readonly<Record<number, Control>>;
}

export interface SessionPlan {
  readonly span: Span;
  readonly steps: readonly PlannedStep[];
  readonly tolerance: Tolerance;
  readonly passes: number;
  readonly players: readonly PlayerId[];
  readonly controls: InstrumentControls;
  /** A survey: every step is played so many times to its end, clean or not, and nobody is stopped. */
  readonly runThroughs?: number;
  /** Known constant lag of the player's set-up against the click (calibrated), positive = late; taken off before judging. */
  readonly lagMicros?: number;
  /** Told at the beginning. */
  readonly notice?: string;
  /** Waits for another machine's pulse and follows it. */
  readonly followsPulse?: boolean;
  /** Nothing can be heard, in a sentence that says what to do: told to who asks to hear a step. */
  readonly unheard?: string;
  /** No verdict sounds. */
  readonly quiet: boolean;
}
