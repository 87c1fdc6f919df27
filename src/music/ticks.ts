// Musical time is an integer number of ticks: exact for 128th notes, triplets, quintuplets, septuplets and
// nonuplets (10,080 = 2^5 · 3^2 · 5 · 7). Never floating beats.

/** Ticks in one quarter note. */
export const TICKS_PER_QUARTER = 10_080;

/** Ticks in a whole note. */
export const TICKS_PER_WHOLE = 4 * TICKS_PER_QUARTER;
