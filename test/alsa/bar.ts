// What is played into a running session over the real driver.

import type { FileNote } from './sequencer.ts';

/** Bar 1 of "slipway" as it sounds on a clarinet in B flat at 60 a minute: D G A B C D as written. */
export const BAR: readonly FileNote[] = [60, 65, 67, 69, 70, 72].map((pitch, i) => ({
  atMicros: [0, 1_000_000, 1_500_000, 2_000_000, 2_500_000, 3_000_000][i]!,
  durationMicros: i === 1 || i === 2 || i === 3 || i === 4 ? 450_000 : 950_000,
  pitch,
}));

/** From the first line of a session to the entry: a breath of 1.5 s and a lead-in of four beats. */
export const ENTRY_MICROS = 5_500_000;
