// A goal: a stretch of a passage at a tempo, by a day.

export interface Goal {
  /** A bundled name or a file's path, as the player gave it. */
  readonly passage: string;
  /** Onset numbers, inclusive. */
  readonly first: number;
  readonly last: number;
  readonly tempoBpm: number;
  /** Local day: 2027-03-14. */
  readonly by: string;
}

/** Goals by the fingerprint of their passage; one each. */
export type Goals = Readonly<Record<string, Goal>>;

/** What was remembered, where it is goals; nothing else is believed. */
export function readGoals(kept: unknown): Goals {
  if (typeof kept !== 'object' || kept === null) return {};
  return Object.fromEntries(Object.entries(kept).filter(([, goal]) => isGoal(goal)));
}

function isGoal(kept: unknown): kept is Goal {
  if (typeof kept !== 'object' || kept === null) return false;
  const { passage, first, last, tempoBpm, by } = kept as Partial<Record<keyof Goal, unknown>>;
  return (
    typeof passage === 'string' &&
    Number.isInteger(first) &&
    Number.isInteger(last) &&
    typeof tempoBpm === 'number' &&
    typeof by === 'string' &&
    /^\d{4}-\d\d-\d\d$/.test(by)
  );
}
