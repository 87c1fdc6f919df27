// What a session is going to do: the steps in order and the rules for them. Made once, never changed.

import type { Ladder } from '../coaching/ladder.ts';
import type { ClickPlacement } from '../drills/click-placement.ts';
import type { Share } from '../drills/dealt-out.ts';
import type { DrillSettings } from '../drills/drill.ts';
import type { Step } from '../drills/step.ts';
import type { Keywork } from '../fingering/fingering.ts';
import type { Span } from '../music/span.ts';
import type { Selection } from '../record/entry.ts';
import type { StepName } from '../record/standing.ts';
import type { Tolerance } from '../take/tolerance.ts';
import type { Control, PlayerId } from './event.ts';

export interface PlannedStep {
  readonly drill: string;
  /** Which of the plan's drill runs it belongs to, from 0: the same drill may come twice. */
  readonly drillRun: number;
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

/** Somebody who plays in a session, with their set-up. */
export interface Player extends Share {
  readonly id: PlayerId;
  /** For people. */
  readonly name: string;
  /** Known constant lag of the set-up against the click (calibrated), positive = late; taken off before judging. 0: none known. */
  readonly lagMicros: number;
  /** The lag was measured; it may have come out as 0. */
  readonly calibrated?: boolean;
  readonly controls: InstrumentControls;
  /** Where it is not the plan's. */
  readonly tolerance?: Tolerance;
}

/** Where a session begins. What lies before was passed in an earlier sitting. */
interface Start {
  /** The step that is worked first. */
  readonly index: number;
  /** One clean take of it is enough. */
  readonly onceClean: boolean;
  /** Indexes of steps that were skipped then and not passed. */
  readonly skipped?: readonly number[];
}

/** How several players work together. */
export interface SectionRules {
  readonly name: string;
  /** So many clean takes of different players make a take of the section clean; absent: all who count. */
  readonly quorum?: number;
  /** A slip stops nobody: it is marked, and the run goes on to its own stop. */
  readonly runOn: boolean;
}

export interface SessionPlan {
  readonly span: Span;
  /** Where it is not at the first step. */
  readonly startsAt?: Start;
  /** Which music of the passage was asked for. */
  readonly selection?: Selection;
  readonly steps: readonly PlannedStep[];
  readonly tolerance: Tolerance;
  /** An uneven touch is a fault and not only told. */
  readonly evenTouch?: boolean;
  readonly passes: number;
  /** Never empty. */
  readonly players: readonly Player[];
  /** Where several play as a section. */
  readonly section?: SectionRules;
  /** A survey: every step is played so many times to its end, clean or not, and nobody is stopped. */
  readonly runThroughs?: number;
  /** What the instrument has of the keywork that not all have; as usual where not told. */
  readonly keywork?: readonly Keywork[];
  /** It ends with the first verdict after so many minutes of playing. */
  readonly minutes?: number;
  /** Played before in the same sitting, without a rest. */
  readonly playedBeforeMicros?: number;
  /** Told at the beginning. */
  readonly notice?: string;
  /** Waits for another machine's pulse and follows it. */
  readonly followsPulse?: boolean;
  /** Nothing can be heard, in a sentence that says what to do: told when somebody asks to hear a step. */
  readonly unheard?: string;
  /** The two sounds that tell a verdict are left out. */
  readonly quiet: boolean;
}

/** The plan with one more sentence to tell at the beginning, after what it tells already. */
export function withNotice(plan: SessionPlan, notice: string | undefined): SessionPlan {
  if (notice === undefined) return plan;
  return { ...plan, notice: plan.notice === undefined ? notice : `${plan.notice} ${notice}` };
}

/** What its steps are called in the record. */
export function stepNames({ steps }: SessionPlan): StepName[] {
  return steps.map(({ drill, step }) => ({ drill, name: step.run.name }));
}
