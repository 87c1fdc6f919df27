// What was done in a passage on a day, counted: what returns and shares are told from without reading every take.

export interface DayOfPassage {
  readonly player: string;
  /** Absent in takes taken over from format 1. */
  readonly fingerprint?: string;
  /** The name that the player gave. */
  readonly passage: string;
  /** Local day: 2026-11-25. */
  readonly day: string;
  /** Those that were skipped do not count. */
  readonly takes: number;
  /** Played from the entry to the stop, and those of them that were clean. */
  readonly complete: number;
  readonly clean: number;
}
