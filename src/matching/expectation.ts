// What should be played. Matching knows nothing of drills: the onsets of a step have the shape that is asked for here.

import type { Articulation, Ornament } from '../music/onset.ts';
import type { Pitch } from '../music/pitch.ts';
import type { Tempo } from '../music/tempo.ts';
import type { PaceChange } from '../music/timing.ts';

export interface ExpectedNote {
  readonly pitch: Pitch;
  readonly durationTicks: number;
  readonly ornament?: Ornament;
  /** A fermata among them: how long it is held is the player's. */
  readonly articulations?: readonly Articulation[];
  /** Joined to the next note by a slur. */
  readonly slurred?: boolean;
  /** Who plays it, as in `Note`: hands and voices are told apart by them. */
  readonly part?: number;
  readonly staff?: number;
  readonly voice?: number;
}

export interface ExpectedOnset {
  readonly tick: number;
  readonly notes: readonly ExpectedNote[];
  /** See StepOnset: the interval after this onset is stretched by so many ticks and judged one-sidedly. */
  readonly leanTicks?: number;
}

export interface Expectation {
  /** By tick; never empty. */
  readonly onsets: readonly ExpectedOnset[];
  /** The tempo asked for. */
  readonly tempo: Tempo;
  /** How the music departs from it; see timing.ts. */
  readonly paces?: readonly PaceChange[];
  /** `click`: judged against `tempo`; `free`: against a robust fit of the take's own pace. */
  readonly pulse: 'click' | 'free';
  /** With a click: the played time of tick 0. Absent: unknown, estimated from the take. */
  readonly zeroMicros?: number;
}
