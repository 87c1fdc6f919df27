// A chord has one fermata over it, however many of its notes were given one.

import type { Note } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';

export function withOneFermata(music: Passage): Passage {
  return { ...music, onsets: music.onsets.map((onset) => ({ ...onset, notes: onset.notes.map(kept) })) };
}

/** Of the notes of a staff that have one, the highest keeps it. */
function kept(note: Note, _: number, notes: readonly Note[]): Note {
  const isOver = (other: Note) =>
    other.part === note.part &&
    other.staff === note.staff &&
    other.pitch > note.pitch &&
    other.articulations?.includes('fermata');
  if (!note.articulations?.includes('fermata') || !notes.some(isOver)) return note;
  const { articulations, ...rest } = note;
  const others = articulations.filter((one) => one !== 'fermata');
  return others.length > 0 ? { ...rest, articulations: others } : rest;
}
