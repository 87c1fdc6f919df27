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
  close(): void;
}
