// The note names that a player reads: written pitch, in the key of the place.

import { INSTRUMENTS } from '../music/instrument.ts';
import type { Onset } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';
import { spellingName, spellPitch } from '../music/pitch.ts';

/** Written names by onset and note, of a step or of written music. */
export function expectedNames({ onsets }: { readonly onsets: readonly Pick<Onset, 'notes'>[] }): string[][] {
  return onsets.map((onset) => onset.notes.map((note) => spellingName(note.spelling)));
}

/** The written name of a sounding pitch for the passage's (first) instrument. */
export function writtenName(passage: Passage, pitch: number): string {
  const instrument = INSTRUMENTS[passage.parts[0]?.instrument ?? 'keyboard'];
  return spellingName(spellPitch(pitch - instrument.transposition, passage.keys[0]?.fifths ?? 0));
}

/** The names that a sentence about a take needs. */
export interface NoteNames {
  /** Written name of each expected note, by onset and note: "B4". */
  readonly expected: readonly (readonly string[])[];
  /** Written name for a played sounding pitch. */
  readonly ofPitch: (pitch: number) => string;
}

/** A chord goes by its top note. */
export function onsetName(names: NoteNames, onset: number): string {
  return names.expected[onset]?.at(-1) ?? `note ${onset + 1}`;
}
