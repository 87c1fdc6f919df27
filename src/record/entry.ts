// The practice record's entries: every take with its raw events, so that all analysis can be done again later.
// Plain data, versioned; calendar times are ISO 8601 in UTC.

import type { PlayerEvent } from '../music/player-event.ts';
import type { ToleranceName } from '../take/tolerance.ts';
import type { TakeVerdict } from '../take/verdict.ts';

export const ENTRY_FORMAT = 1;

/** How a take ended. */
export type TakeEnd = 'stopped' | 'slipped' | 'paused' | 'skipped' | 'retaken' | 'quit' | 'lost';

export interface Entry {
  readonly format: typeof ENTRY_FORMAT;
  /** Groups the takes of one sitting. */
  readonly sitting: string;
  /** Order within the sitting, from 1. */
  readonly order: number;
  /** When the take was planned. */
  readonly date: string;
  readonly passage: string;
  /** Onset numbers of the span, inclusive. */
  readonly first: number;
  readonly last: number;
  readonly drill: string;
  /** Index from 0, and name. */
  readonly step: number;
  readonly stepName: string;
  readonly tempoBpm: number;
  readonly toleranceName: ToleranceName;
  readonly player: string;
  readonly source: string;
  readonly end: TakeEnd;
  readonly clean: boolean;
  readonly sentence: string;
  /** Absent when there was nothing to judge. */
  readonly verdict?: TakeVerdict;
  /** Played time of the step's tick 0 on the same clock as the events. */
  readonly zeroMicros: number;
  /** Known constant lag that was taken off, positive = late; absent where none was known. */
  readonly lagMicros?: number;
  readonly events: readonly PlayerEvent[];
}
