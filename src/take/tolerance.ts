// How far an interval may stray and still be in time: max(floor, share of the interval). A displaced note is just
// noticeable at 6 ms below 240 ms and 2.5 % above (Friberg & Sundberg 1995, JASA 98:2524): stricter is meaningless.

export interface Tolerance {
  readonly name: ToleranceName;
  readonly floorMicros: number;
  /** Share of the expected interval, 0 to 1. */
  readonly share: number;
}

export type ToleranceName = 'rough' | 'steady' | 'concert';

export const TOLERANCES: Readonly<Record<ToleranceName, Tolerance>> = {
  rough: { name: 'rough', floorMicros: 45_000, share: 0.22 },
  steady: { name: 'steady', floorMicros: 28_000, share: 0.13 },
  concert: { name: 'concert', floorMicros: 16_000, share: 0.08 },
};

export function isToleranceName(text: string): text is ToleranceName {
  return Object.hasOwn(TOLERANCES, text);
}

/** The widest deviation of an interval that is still in time, inclusive. */
export function toleranceMicros(tolerance: Tolerance, expectedMicros: number): number {
  return Math.max(tolerance.floorMicros, Math.round(tolerance.share * expectedMicros));
}
