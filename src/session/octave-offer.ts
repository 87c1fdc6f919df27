// A player who sounds a whole octave or two away from the passage, take after take: noticed and offered, not punished.
// Takes are cut at the first slip, so that one take alone seldom shows it.

import type { Line } from '../drills/step.ts';
import type { PlayedNote } from '../music/played-note.ts';
import type { TakeVerdict } from '../take/verdict.ts';

/** What has been seen in the takes in a row so far. */
export interface OctaveSeen {
  /** How many octaves too high (negative: too low). */
  readonly octaves: number;
  readonly notes: number;
}

/** One note an octave off is a slip like others; two without a right one between are a setting. */
const NOTES_BEFORE_OFFER = 2;

/** Adds a take; undefined when it does not fit (a right note, another shift, any other wrong note). */
export function seeOctave(
  seen: OctaveSeen | undefined,
  take: { readonly line: Line; readonly verdict: TakeVerdict; readonly played: readonly PlayedNote[] },
): OctaveSeen | undefined {
  const whole = take.verdict.troubles.find((trouble) => trouble.kind === 'octave');
  if (whole?.kind === 'octave') return { octaves: whole.octaves, notes: NOTES_BEFORE_OFFER };
  let now = seen;
  for (const { onset, note, verdict, played } of take.verdict.notes) {
    if (played === undefined) continue;
    const apart = take.played[played]!.pitch - take.line.onsets[onset]!.notes[note]!.pitch;
    if (verdict === 'right' || apart === 0 || apart % 12 !== 0) return undefined;
    const octaves = apart / 12;
    now = now?.octaves === octaves ? { octaves, notes: now.notes + 1 } : { octaves, notes: 1 };
  }
  return now;
}

export function isOffered(seen: OctaveSeen | undefined): seen is OctaveSeen {
  return seen !== undefined && seen.notes >= NOTES_BEFORE_OFFER;
}
