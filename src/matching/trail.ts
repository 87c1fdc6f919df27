// A list that only grows at its end, kept as a value: adding gives a new trail and leaves the old one as it was, but
// trails that grew from one another share their entries, so adding costs the same however long the take is.

export interface Trail<T> {
  /** Shared; only the first `length` entries belong to this trail. */
  readonly shared: T[];
  readonly length: number;
}

export function emptyTrail<T>(): Trail<T> {
  return { shared: [], length: 0 };
}

export function addedTo<T>(trail: Trail<T>, entry: T): Trail<T> {
  const shared = trail.shared.length === trail.length ? trail.shared : trail.shared.slice(0, trail.length);
  shared.push(entry);
  return { shared, length: trail.length + 1 };
}

export function entries<T>(trail: Trail<T>): T[] {
  return trail.shared.slice(0, trail.length);
}

/** A trail of the entries of a list that nobody else changes. */
export function trailOf<T>(list: T[]): Trail<T> {
  return { shared: list, length: list.length };
}
