// Where playing comes from: a MIDI input, the player model, a recorded take, the computer keyboard. One per player.

import type { Line, Run } from '../drills/step.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import type { Key } from './terminal.ts';

/** Told to the source when a take is planned, so that a simulated player knows what to play and when. */
export interface Prompt {
  readonly run: Run;
  /** What this player plays. */
  readonly line: Line;
  /** Played time of the step's tick 0; for steps that the player enters freely, the earliest time. */
  readonly zeroMicros: number;
  /** How often this step has been tried, from 1. */
  readonly attempt: number;
}

export interface PlayerSource {
  /** Shown to the player: "Tidewrack keys", "model of a steady player, seed 7". */
  readonly name: string;
  /** Semitones that it has added to every pitch that came in. */
  readonly shiftSemitones?: number;
  start(report: (event: PlayerEvent) => void): void;
  /** Asks to be told, in a sentence, what of the input should be known and stops nobody. */
  onNews?(tell: (sentence: string) => void): void;
  /** A key of the computer's keyboard, offered first to sources that play on it: true when it was a note. */
  press?(key: Key): boolean;
  /** A take has been planned. Real instruments ignore it. */
  prompt(prompt: Prompt): void;
  /** The take being played is over, at the stop or by a slip: stop playing. Real instruments ignore it. */
  hush(atMicros: number): void;
  close(): Promise<void>;
}
