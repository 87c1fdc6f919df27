// What a session has to tell a person: the plain line mode prints it, the transcript of a test keeps it.

import type { PlayedNote } from '../music/played-note.ts';
import type { TakeVerdict } from '../take/verdict.ts';
import type { PlayerId } from './event.ts';

export type News =
  | {
      readonly kind: 'step';
      readonly drill: string;
      readonly name: string;
      readonly number: number;
      readonly of: number;
      readonly tempoBpm: number;
      readonly leadInClicks: number;
      readonly attempt: number;
      /** Where in the bar it is entered, a clause; absent where it is entered from a landing. */
      readonly entry?: string;
    }
  | {
      readonly kind: 'verdict';
      readonly player: PlayerId;
      readonly clean: boolean;
      readonly sentence: string;
      readonly onward: boolean;
      /** Where the step stands: "clean 2 of 3", "rung 4 of 12, 60 a minute", "onward", "again". */
      readonly progress: string;
      readonly verdict: TakeVerdict;
      readonly played: readonly PlayedNote[];
    }
  | { readonly kind: 'skipped'; readonly name: string }
  | { readonly kind: 'tempo'; readonly tempoBpm: number }
  /** What a drill asks for, before its first step. */
  | { readonly kind: 'task'; readonly text: string }
  | { readonly kind: 'advice'; readonly text: string }
  | { readonly kind: 'rest'; readonly minutes: number; readonly text: string }
  | { readonly kind: 'paused'; readonly why: string }
  | { readonly kind: 'resumed' }
  | {
      readonly kind: 'finished';
      readonly stepsPassed: number;
      readonly stepsSkipped: number;
      readonly steps: number;
      readonly takes: number;
      readonly cleanTakes: number;
      /** The interval that cost the takes most, in a sentence. */
      readonly costliest?: string;
      /** Of a survey: the takes are run-throughs, and no step was passed or not. */
      readonly survey?: true;
    };
