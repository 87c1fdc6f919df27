// Note values by name.

import { TICKS_PER_QUARTER } from '../music/ticks.ts';

const NAMES: Readonly<Record<number, string>> = {
  4: 'whole notes',
  3: 'dotted halves',
  2: 'halves',
  1.5: 'dotted quarters',
  1: 'quarters',
  0.75: 'dotted eighths',
  0.5: 'eighths',
  0.25: 'sixteenths',
};

/** In the plural; "beats" where it has no name. @example noteValueName(5040) // 'eighths' */
export function noteValueName(ticks: number): string {
  return NAMES[ticks / TICKS_PER_QUARTER] ?? 'beats';
}
