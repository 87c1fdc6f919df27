// Figures as sentences tell them.

/** Whole milliseconds, without a sign. */
export function millis(micros: number): string {
  return `${Math.abs(Math.round(micros / 1000))} ms`;
}

/** How much an interval is too short or too long; undefined where that is no whole millisecond. @example '18 ms short' */
export function lengthWords(micros = 0): string | undefined {
  const ms = Math.round(micros / 1000);
  return ms === 0 ? undefined : `${millis(micros)} ${ms < 0 ? 'short' : 'long'}`;
}

/** Whole percent, without a sign. */
export function percent(share: number): string {
  return `${Math.abs(Math.round(share * 100))} %`;
}

/** A field of JSON: tenths of a millisecond, nothing finer is the player's. */
export function inMs<K extends string>(name: K, micros: number | undefined): Partial<Record<K, number>> {
  return micros === undefined ? {} : ({ [name]: Math.round(micros / 100) / 10 } as Record<K, number>);
}
