// Where the practice record is kept. `append` returns only when the entry would survive a killed process.

import type { Passage } from '../music/passage.ts';
import type { Entry, EntryHeading } from '../record/entry.ts';
import type { TakeFilter } from '../record/take-filter.ts';

export interface PracticeRecord {
  /** Where it is, for people. */
  readonly place: string;
  /** Keeps the music of the takes that follow, once; returns its fingerprint. */
  keepPassage(passage: Passage): string;
  append(entry: Entry): void;
  /** In the order in which they were played. */
  headings(filter?: TakeFilter): Promise<readonly EntryHeading[]>;
  /** Small settings that are remembered (the last input, calibrated lags), by name; values are JSON. */
  recall(name: string): unknown;
  remember(name: string, value: unknown): void;
  /** Asks to be told in a sentence when takes cannot be kept in it any more and go elsewhere. */
  onTrouble?(tell: (sentence: string) => void): void;
  /**
   * Where copies go elsewhere: what is on its way is given a moment. Undefined when nothing waits any more, else what
   * still does, in a sentence. Nothing may be kept after it.
   */
  leave?(): Promise<string | undefined>;
  /** Where takes went that it could not take up. */
  readonly rescued?: readonly string[];
  close(): void;
}
