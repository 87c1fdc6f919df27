// Where practice is read: the record on this computer, or a studio's. Its methods throw a ProblemError (exit status
// EXIT.record) where it cannot be read.

import type { DrillSettings } from '../drills/drill.ts';
import type { Passage } from '../music/passage.ts';
import type { DayOfPassage } from '../record/day-of-passage.ts';
import type { Entry, EntryHeading, EntrySummary } from '../record/entry.ts';
import type { Checked } from '../record/schema.ts';
import type { TakeFilter } from '../record/take-filter.ts';

export interface PracticeReader {
  /** Where it is, for people; never with a password. */
  readonly place: string;
  /** In the order in which they were played. */
  headings(filter?: TakeFilter): Promise<readonly EntryHeading[]>;
  /** The same with what the judge found. `fields`: no others are read, which is quicker by far; all where none is named. */
  summaries<F extends keyof EntrySummary = keyof EntrySummary>(
    filter?: TakeFilter,
    fields?: readonly F[],
  ): Promise<readonly Pick<EntrySummary, F>[]>;
  /** Day by day, oldest first; the limit of the filter does not count. */
  days(filter?: TakeFilter): Promise<readonly DayOfPassage[]>;
  /** Everybody who has a take in it, by name. */
  players(): Promise<readonly string[]>;
  /** Those of them who have a take that they did not play as one of a section. */
  soloists(): Promise<readonly string[]>;
  /** Every section that has a take in it, by name. */
  sections(): Promise<readonly string[]>;
  /**
   * Whole entries in order of writing, checked, a few in memory at a time; what is damaged is told in its place, and
   * the rest goes on.
   */
  readAll(filter?: TakeFilter): AsyncIterable<NumberedTake>;
  /** One take by its number; the last without one. Undefined where there is none. */
  take(number?: number): Promise<{ readonly number: number; readonly entry: Entry } | undefined>;
  /** What the drill of the latest take was told, skipped ones apart; undefined where that is not known (format 1). */
  settings(filter?: TakeFilter): Promise<DrillSettings | undefined>;
  /** The music of takes, as it was worked; undefined where it was not kept. */
  passage(fingerprint: string): Promise<Passage | undefined>;
  counts(): Promise<RecordCounts>;
  /** Small settings of that name, of the players asked for: one from a record, one a player from a studio. */
  recalled(name: string, players?: readonly string[]): Promise<readonly unknown[]>;
  close(): Promise<void>;
}

/** A take, or why it cannot be had. */
export interface NumberedTake {
  readonly number: number;
  readonly read: Checked<Entry>;
}

export interface RecordCounts {
  readonly takes: number;
  readonly clean: number;
  readonly skipped: number;
  readonly sittings: number;
  readonly days: number;
  readonly passages: number;
  /** Local days; '' where there is no take. */
  readonly first: string;
  readonly last: string;
}
