// A player who sounds a whole octave or another transposition away from the passage, take after take: noticed and offered,
// not punished. Takes are cut at the first slip, so that one take alone seldom shows it.

import type { Line } from '../drills/step.ts';
import type { TakeResult } from '../take/result.ts';

/** What has been seen in the takes in a row so far. */
export interface ShiftSeen {
  /** How many semitones too high (negative: too low). */
  readonly semitones: number;
  readonly notes: number;
  /** The shift is the one that comes of an instrument which sends written pitches, not sounding ones. */
  readonly asWritten: boolean;
}

/** One note an octave off is a slip like others; two without a right one between are a setting. */
const NOTES_BEFORE_OFFER = 2;
/** Any other distance also comes of wrong notes, so it takes more notes to be sure. */
const OTHERS_BEFORE_OFFER = 4;

/** Adds a take; undefined when it does not fit (a right note, another shift, out of step with the click). */
export function seeShift(
  seen: ShiftSeen | undefined,
  take: Pick<TakeResult, 'verdict' | 'played' | 'shift'> & { readonly line: Line },
): ShiftSeen | undefined {
  const { verdict, line, shift } = take;
  const asWritten = (semitones: number): boolean => semitones === -line.transposition && semitones !== 0;
  for (const trouble of verdict.troubles) {
    if (trouble.kind === 'entered') return undefined;
    if (trouble.kind === 'octave' || trouble.kind === 'transposed') {
      const semitones = trouble.kind === 'octave' ? 12 * trouble.octaves : trouble.semitones;
      return { semitones, notes: OTHERS_BEFORE_OFFER, asWritten: asWritten(semitones) };
    }
  }
  if (shift) {
    const { semitones } = shift;
    const before = seen?.semitones === semitones ? seen.notes : 0;
    return { semitones, notes: before + shift.notes, asWritten: asWritten(semitones) };
  }
  let now = seen;
  for (const { onset, note, verdict: kind, played } of verdict.notes) {
    if (played === undefined) continue;
    const semitones = take.played[played]!.pitch - line.onsets[onset]!.notes[note]!.pitch;
    if (kind === 'right' || semitones === 0) return undefined;
    const notes = now?.semitones === semitones ? now.notes + 1 : 1;
    now = { semitones, notes, asWritten: asWritten(semitones) };
  }
  return now;
}

export function isOffered(seen: ShiftSeen | undefined): seen is ShiftSeen {
  if (seen === undefined) return false;
  const own = seen.asWritten || seen.semitones % 12 === 0;
  return seen.notes >= (own ? NOTES_BEFORE_OFFER : OTHERS_BEFORE_OFFER);
}
