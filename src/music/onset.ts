// An onset: a moment where one note or a chord begins; what the player must do next.

import type { Pitch, Spelling } from './pitch.ts';

/**
 * Ornaments written in the music. A `grace` note is itself optional, played shortly before its onset. On the other
 * kinds the note itself is required and the added notes (its upper and lower neighbours) are optional.
 */
export type Ornament = 'grace' | 'trill' | 'mordent' | 'turn';

/** Marks that are kept but not judged. */
export type Articulation = 'staccato' | 'tenuto' | 'accent' | 'marcato' | 'fermata' | 'breath';

export interface Note {
  /** Sounding MIDI number. */
  readonly pitch: Pitch;
  /** As the player reads it. */
  readonly spelling: Spelling;
  /** Notated length, ties merged. 0 for a grace note. */
  readonly durationTicks: number;
  /** Index into the passage's parts. */
  readonly part: number;
  /** 1 = upper; a keyboard part has two. */
  readonly staff: number;
  readonly voice: number;
  readonly ornament?: Ornament;
  readonly articulations?: readonly Articulation[];
  /** True on the first note of a slur and all but its last: it is joined to the next. */
  readonly slurred?: boolean;
  /** Order among the grace notes that its voice plays before the onset, from 0. On grace notes only. */
  readonly graceIndex?: number;
}

/** The order of an onset's notes: by pitch, then where they are written. */
export function lowestFirst(a: Note, b: Note): number {
  return (
    a.pitch - b.pitch ||
    a.part - b.part ||
    a.staff - b.staff ||
    a.voice - b.voice ||
    (a.graceIndex ?? -1) - (b.graceIndex ?? -1)
  );
}

export interface Onset {
  readonly tick: number;
  /** Lowest first; never empty; at least one note is not a grace note. */
  readonly notes: readonly Note[];
}

/** The notes that must be played: all but grace notes. */
export function requiredNotes<N extends { readonly ornament?: Ornament }>(onset: {
  readonly notes: readonly N[];
}): readonly N[] {
  return onset.notes.filter((note) => note.ornament !== 'grace');
}

/**
 * Whether a pitch can belong to a trill, mordent or turn on a written one: that note again, or a neighbour up to a whole
 * tone away.
 */
export function isOrnamentPitch(written: Pitch, pitch: Pitch): boolean {
  return Math.abs(pitch - written) <= 2;
}

/** Notated length of an onset: its longest note. */
export function onsetDurationTicks(onset: Onset): number {
  return Math.max(...onset.notes.map((note) => note.durationTicks));
}
