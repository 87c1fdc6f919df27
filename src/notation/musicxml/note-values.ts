// Note values: which single value (with up to three dots) has a length, and a length as a few tied values.

import { TICKS_PER_WHOLE } from '../../music/ticks.ts';

export interface NoteValue {
  /** MusicXML's name: 'quarter', '16th'. */
  readonly type: string;
  readonly dots: number;
  readonly ticks: number;
  /** Beams that the value has: 1 for an eighth, 0 from a quarter on. */
  readonly beams: number;
}

const TYPES = [
  'breve',
  'whole',
  'half',
  'quarter',
  'eighth',
  '16th',
  '32nd',
  '64th',
  '128th',
  '256th',
] as const;

/** Longest first, plain before dotted of the same kind. */
const VALUES: readonly NoteValue[] = TYPES.flatMap((type, i) =>
  [2, 1, 0].map((dots) => ({
    type,
    dots,
    ticks: ((2 * TICKS_PER_WHOLE) / 2 ** i) * (2 - 1 / 2 ** dots),
    beams: Math.max(0, i - 3),
  })),
)
  .filter(({ ticks }) => Number.isInteger(ticks))
  .sort((a, b) => b.ticks - a.ticks);

export function noteValue(ticks: number): NoteValue | undefined {
  return VALUES.find((value) => value.ticks === ticks);
}

/** Values that add up to a length, longest first; undefined where none do. @example splitIntoValues(25200) // half, eighth */
export function splitIntoValues(ticks: number): NoteValue[] | undefined {
  const values: NoteValue[] = [];
  let left = ticks;
  while (left > 0) {
    const value = noteValue(left) ?? VALUES.find((v) => v.ticks <= left && v.dots === 0);
    if (!value || values.length > 20) return undefined;
    values.push(value);
    left -= value.ticks;
  }
  return values;
}
