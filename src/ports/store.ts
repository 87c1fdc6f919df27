// Where the practice record is kept. `append` returns only when the entry would survive a killed process.

import type { TakeEntry } from '../log/take-entry.ts';

export interface Store {
  /** Where it is, for people. */
  readonly place: string;
  append(entry: TakeEntry): void;
  /** In order of writing. */
  takes(filter?: {
    readonly passage?: string;
    readonly sitting?: string;
    readonly limit?: number;
  }): readonly TakeEntry[];
  /** Small settings that are remembered (the last input, calibrated lags), by name; values are JSON. */
  recall(name: string): unknown;
  remember(name: string, value: unknown): void;
  close(): void;
}
