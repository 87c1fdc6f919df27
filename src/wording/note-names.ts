// The note names that a player reads: written pitch, in the key of the place.

import { beatGrid } from '../drills/beat-grid.ts';
import { placeName } from '../drills/place-name.ts';
import { INSTRUMENTS } from '../music/instrument.ts';
import type { Onset } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';
import { spellingName, spellPitch } from '../music/pitch.ts';
import { soundingFifths, writtenFifths } from '../music/transposition.ts';
import type { IntervalVerdict } from '../take/verdict.ts';

/** Written names by onset and note, of a step or of written music. */
export function expectedNames({ onsets }: { readonly onsets: readonly Pick<Onset, 'notes'>[] }): string[][] {
  return onsets.map((onset) => onset.notes.map((note) => spellingName(note.spelling)));
}

/** A place in the passage: in which key, for whose eyes. */
export interface NamePlace {
  readonly tick: number;
  /** Written + it = sounding, for who reads; the first part's unless told. */
  readonly transposition?: number;
}

/** The written name of a sounding pitch, in the key that holds at the place; at the start unless told. */
export function writtenName(passage: Passage, pitch: number, place: NamePlace = { tick: 0 }): string {
  const { tick, transposition = firstTransposition(passage) } = place;
  const key = passage.keys.findLast((k) => k.tick <= tick)?.fifths ?? 0;
  // Keys are written for the first part.
  const fifths = writtenFifths(soundingFifths(key, firstTransposition(passage)), transposition);
  return spellingName(spellPitch(pitch - transposition, fifths));
}

function firstTransposition({ parts }: Passage): number {
  return INSTRUMENTS[parts[0]?.instrument ?? 'keyboard'].transposition;
}

/** A passage's onset as it is expected: the notes, and which onset of the passage it comes from. */
interface ExpectedOnset {
  readonly notes: Onset['notes'];
  readonly number: number;
}

/** Names for what was expected and for what was played instead, in the key of the place, as `transposition` reads. */
export function noteNames(
  passage: Passage,
  onsets: readonly ExpectedOnset[],
  transposition = firstTransposition(passage),
): NoteNames {
  return {
    expected: expectedNames({ onsets }),
    ofPitch: (pitch, onset) => {
      const near = onsets[Math.min(onset, onsets.length - 1)];
      const tick = near === undefined ? 0 : (passage.onsets[near.number - 1]?.tick ?? 0);
      return writtenName(passage, pitch, { tick, transposition });
    },
    place: (onset) => {
      const number = onsets[onset]?.number ?? 1;
      return placeName(beatGrid(passage), passage.onsets[number - 1]?.tick ?? 0);
    },
  };
}

/** The names that a sentence about a take needs. */
export interface NoteNames {
  /** Written name of each expected note, by onset and note: "B4". */
  readonly expected: readonly (readonly string[])[];
  /** Written name for a played sounding pitch, in the key that holds at an expected onset (index). */
  readonly ofPitch: (pitch: number, onset: number) => string;
  /** Where an expected onset stands in the passage: "bar 3, beat 2". */
  readonly place?: (onset: number) => string;
}

/** Of more than these nobody knows which is the seventh. */
const COUNTED_MOST = 8;
const ORDINALS = ['1st', '2nd', '3rd'];

/** A chord goes by its top note; one of several equal notes in a row by which of them it is, or by its place. */
export function onsetName(names: NoteNames, onset: number): string {
  const name = topName(names, onset) ?? `note ${onset + 1}`;
  const { first, count } = equalNotes(names, onset);
  if (count < 2) return name;
  if (count > COUNTED_MOST) return names.place ? `${name} (${names.place(onset)})` : name;
  const which = onset - first;
  return `the ${ORDINALS[which] ?? `${which + 1}th`} ${name}`;
}

/** The two notes of an interval; of one hand alone that hand's own. */
export function intervalEnds(
  names: NoteNames,
  { from, to, hand }: Pick<IntervalVerdict, 'from' | 'to' | 'hand'>,
): readonly [string, string] {
  const own = (onset: number, note: number | undefined) =>
    note === undefined ? undefined : names.expected[onset]?.[note];
  return [
    own(from, hand?.notes[0]) ?? onsetName(names, from),
    own(to, hand?.notes[1]) ?? onsetName(names, to),
  ];
}

function topName({ expected }: NoteNames, onset: number): string | undefined {
  return expected[onset]?.at(-1);
}

/** The equal notes (or chords) in a row to which an onset belongs. */
export function equalNotes(
  names: NoteNames,
  onset: number,
): { readonly first: number; readonly count: number; readonly name: string } {
  const written = names.expected[onset]?.join();
  const isEqual = (other: number) => written !== undefined && names.expected[other]?.join() === written;
  let first = onset;
  while (isEqual(first - 1)) first--;
  let end = onset + 1;
  while (isEqual(end)) end++;
  return { first, count: end - first, name: topName(names, onset) ?? '' };
}
