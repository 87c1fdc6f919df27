// A fingering: which keys are down for one written pitch. Every line of a table says how sure it is and where it comes
// from; grade C (unsure) is not in the tables at all.

import type { Pitch } from '../music/pitch.ts';

/** `A`: sure. `B`: believed, and marked wherever it is shown. */
export type Grade = 'A' | 'B';

/** Where a line comes from. The same notes stand beside the tables in full. */
export const SOURCES = {
  handbook: 'standard handbook fingering, from memory',
  unsw: 'University of New South Wales, music acoustics pages, read',
  doubling: 'B. Pimentel, notes on doubling, read',
  coats: 'P. Coats on front and palm keys, and a list post of 1997 that agrees, read',
  lever: 'follows from the extra lever doubling the right-hand key; from memory',
  rule: 'follows from a rule of the instrument that stands beside the table; from memory',
} as const;

type Source = keyof typeof SOURCES;

/** Keys that not every instrument of a family has. */
export type Keywork = 'left-e-flat' | 'low-b-flat' | 'high-f-sharp';

/** What sets a fingering apart from the others of its note; '' for the standard one of a note. */
export type FingeringName =
  | ''
  | 'left'
  | 'right'
  | 'chromatic'
  | 'side'
  | 'sliver'
  | 'one-and-one'
  | 'fork'
  | 'bis'
  | 'low C#'
  | 'palm'
  | 'front'
  | 'trill'
  | 'thumb';

/** Written pitch by name, keys parted by spaces ('' = nothing down), name, grade, source, and the keywork it needs. */
export type TableLine = readonly [
  note: string,
  keys: string,
  name: FingeringName,
  grade: Grade,
  source: Source,
  needs?: Keywork,
];

export interface Fingering {
  /** Written. */
  readonly pitch: Pitch;
  readonly keys: readonly string[];
  readonly name: FingeringName;
  readonly grade: Grade;
  readonly source: Source;
  /** Sounds duller than the standard one. */
  readonly veiled: boolean;
  /** Place among the fingerings of its note: 0 is the standard one. */
  readonly rank: number;
  /** Place in its table, for tables of costs. */
  readonly index: number;
}
