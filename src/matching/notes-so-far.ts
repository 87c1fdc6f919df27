// The notes played so far with their releases, as a value that grows cheaply. A note struck again before its release
// ends the earlier one there; a release without a note changes nothing.

import type { PlayedNote } from '../music/played-note.ts';
import { addedTo, emptyTrail, type Trail } from './trail.ts';

interface Release {
  readonly played: number;
  readonly atMicros: number;
}

export interface NotesSoFar {
  readonly notes: Trail<PlayedNote>;
  readonly releases: Trail<Release>;
  /** Indexes of the notes held now: at most one of each pitch. */
  readonly held: readonly number[];
}

export function noNotesYet(): NotesSoFar {
  return { notes: emptyTrail(), releases: emptyTrail(), held: [] };
}

export function struck(soFar: NotesSoFar, note: PlayedNote): NotesSoFar {
  const { releases, held } = released(soFar, note.pitch, note.onMicros);
  const played = soFar.notes.length;
  return {
    notes: addedTo(soFar.notes, note),
    releases,
    held: note.offMicros === undefined ? [...held, played] : held,
  };
}

export function released(soFar: NotesSoFar, pitch: number, atMicros: number): NotesSoFar {
  const played = soFar.held.find((i) => soFar.notes.shared[i]!.pitch === pitch);
  if (played === undefined) return soFar;
  return {
    notes: soFar.notes,
    releases: addedTo(soFar.releases, { played, atMicros }),
    held: soFar.held.filter((i) => i !== played),
  };
}

/** Every note with the release known so far. */
export function playedNotes(soFar: NotesSoFar): PlayedNote[] {
  const notes = soFar.notes.shared.slice(0, soFar.notes.length);
  for (const { played, atMicros } of soFar.releases.shared.slice(0, soFar.releases.length)) {
    notes[played] = { ...notes[played]!, offMicros: atMicros };
  }
  return notes;
}

/** One note with the release known so far; looks at the latest releases only as far as needed. */
export function playedNote(soFar: NotesSoFar, played: number): PlayedNote {
  const note = soFar.notes.shared[played]!;
  for (let i = soFar.releases.length - 1; i >= 0; i--) {
    const release = soFar.releases.shared[i]!;
    if (release.played === played) return { ...note, offMicros: release.atMicros };
    if (release.atMicros < note.onMicros) break;
  }
  return note;
}
