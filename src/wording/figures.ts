// Figures as sentences tell them.

/** Whole milliseconds, without a sign. */
export function millis(micros: number): string {
  return `${Math.abs(Math.round(micros / 1000))} ms`;
}

/** Whole percent, without a sign. */
export function percent(share: number): string {
  return `${Math.abs(Math.round(share * 100))} %`;
}
