// A chord has each mark once over it (a fermata, a tenuto, a staccato), however many of its notes were given one.

import type { Note } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';

export function withOneMark(music: Passage): Passage {
  return { ...music, onsets: music.onsets.map((onset) => ({ ...onset, notes: onset.notes.map(kept) })) };
}

/** Of the notes of a staff that have a mark, the highest keeps it. */
function kept(note: Note, _: number, notes: readonly Note[]): Note {
  if (!note.articulations) return note;
  const { articulations, ...rest } = note;
  const over = notes.filter(
    ({ part, staff, pitch }) => part === note.part && staff === note.staff && pitch > note.pitch,
  );
  const own = articulations.filter((mark) => !over.some((other) => other.articulations?.includes(mark)));
  return own.length > 0 ? { ...rest, articulations: own } : rest;
}
