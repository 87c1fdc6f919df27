// What a reader makes of a text or a file: the passage, and everything that was not understood or left out, all at
// once and each with its place.

import type { Passage } from '../music/passage.ts';

/** `error`: no passage can be made of it. `warning`: read, but something was left out, guessed or put right. */
export interface Issue {
  /** Stable, dotted: 'midi.truncated'. */
  readonly code: string;
  readonly message: string;
  readonly severity: 'error' | 'warning';
  readonly place?: {
    readonly line?: number;
    readonly column?: number;
    readonly byte?: number;
    readonly bar?: number;
  };
}

export interface Reading {
  /** Absent when there is an issue of severity `error`. */
  readonly passage?: Passage;
  readonly issues: readonly Issue[];
  /** Notes read, grace notes included. */
  readonly noteCount: number;
}
