// Where the practice record is kept. `append` returns only when the entry would survive a killed process.

import type { Entry } from '../record/entry.ts';

export interface PracticeRecord {
  /** Where it is, for people. */
  readonly place: string;
  append(entry: Entry): void;
  /** In order of writing. */
  entries(filter?: {
    readonly passage?: string;
    readonly sitting?: string;
    readonly limit?: number;
  }): readonly Entry[];
  /** Small settings that are remembered (the last input, calibrated lags), by name; values are JSON. */
  recall(name: string): unknown;
  remember(name: string, value: unknown): void;
  /** Asks to be told in a sentence when takes cannot be kept in it any more and go elsewhere. */
  onTrouble?(tell: (sentence: string) => void): void;
  /** Where takes went that it could not take up. */
  readonly rescued?: readonly string[];
  close(): void;
}
