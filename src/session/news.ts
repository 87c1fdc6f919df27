// What a session has to tell a person, as data: the plain line mode words it, the transcript of a test keeps it.

import type { Climb } from '../coaching/rounds.ts';
import type { ClickPlacement } from '../drills/click-placement.ts';
import type { Step } from '../drills/step.ts';
import type { PlayedNote } from '../music/played-note.ts';
import type { Attendance } from '../record/played-together.ts';
import type { IntervalCost } from './costly-interval.ts';
import type { PlayerId } from './event.ts';
import type { Notice } from './notice.ts';
import type { PauseReason } from './pause-reason.ts';
import type { SectionReport } from './section-report.ts';
import type { StepEntry } from './step-entry.ts';
import type { StepStanding } from './step-standing.ts';
import type { TakeReport } from './take-report.ts';

export type News =
  | {
      readonly kind: 'step';
      readonly drill: string;
      readonly name: string;
      readonly number: number;
      readonly of: number;
      readonly tempoBpm: number;
      /** 0 where it is entered from a landing or when the player likes. */
      readonly leadInBeats: number;
      readonly step: Step;
      /** Where its clicks were put, if that was asked. */
      readonly click?: ClickPlacement;
      readonly attempt: number;
      /** Absent where it is entered from a landing. */
      readonly entry?: StepEntry;
    }
  | {
      readonly kind: 'verdict';
      readonly player: PlayerId;
      readonly clean: boolean;
      readonly report: TakeReport;
      readonly onward: boolean;
      /** After the take, and what comes of it. */
      readonly standing: StepStanding;
      readonly next: Climb;
      /** It was played at the player's own tempo and not at the step's. */
      readonly ownTempo: boolean;
      readonly played: readonly PlayedNote[];
      /** One of several: the section's own verdict follows. */
      readonly ofSection?: true;
    }
  | {
      readonly kind: 'section';
      readonly report: SectionReport;
      readonly onward: boolean;
      readonly standing: StepStanding;
      readonly next: Climb;
      readonly ownTempo: boolean;
    }
  /** A player's instrument has gone, and the others go on; it is back, from the next take on. */
  | { readonly kind: 'away'; readonly player: string; readonly why: string }
  | { readonly kind: 'back'; readonly player: string }
  | {
      readonly kind: 'seat';
      readonly player: string;
      readonly attendance: Attendance;
      readonly focused: boolean;
    }
  | { readonly kind: 'skipped'; readonly name: string }
  | { readonly kind: 'tempo'; readonly tempoBpm: number }
  /** A drill's first step is to come, which has not been played yet. */
  | { readonly kind: 'task'; readonly drill: string }
  | { readonly kind: 'notice'; readonly notice: Notice }
  | { readonly kind: 'paused'; readonly reason: PauseReason }
  | { readonly kind: 'resumed' }
  | {
      readonly kind: 'finished';
      readonly stepsPassed: number;
      readonly stepsSkipped: number;
      readonly steps: number;
      readonly takes: number;
      readonly cleanTakes: number;
      /** The interval that cost the takes most. */
      readonly costliest?: IntervalCost;
      /** Of a survey: the takes are run-throughs, and no step was passed or not. */
      readonly survey?: true;
    };
