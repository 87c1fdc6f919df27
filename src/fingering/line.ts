// The line that one part's player fingers: the notes one after another, on written pitch, with the time between them.

import type { Note, Onset } from '../music/onset.ts';
import { type Pitch, type Spelling, spellingToPitch } from '../music/pitch.ts';
import { type Tempo, ticksToMicros } from '../music/tempo.ts';

export interface LineNote {
  /** Written. */
  readonly pitch: Pitch;
  readonly spelling: Spelling;
  /** Index (from 0) of the onset that it belongs to. */
  readonly onset: number;
  readonly grace: boolean;
  /** To the beginning of the next note; 0 for the last. */
  readonly micros: number;
  /** A rest stands before the next note. */
  readonly rested: boolean;
}

export interface FingeredLine {
  readonly notes: readonly LineNote[];
  /** Indexes of onsets where the part has more than one note at once: no wind player can. */
  readonly chords: readonly number[];
}

/** What a grace note is given before the next one: about as long as one lasts in playing. */
const GRACE_MICROS = 80_000;

/** Tempo marks inside the passage are left out: they change how much a change counts by little. */
export function fingeredLine(
  onsets: readonly Pick<Onset, 'tick' | 'notes'>[],
  part: number,
  tempo: Tempo,
): FingeredLine {
  const chords: number[] = [];
  const played: { note: Note; onset: number; tick: number }[] = [];
  onsets.forEach(({ tick, notes }, onset) => {
    const own = notes.filter((note) => note.part === part).sort(graceFirst);
    const main = own.findIndex((note) => note.ornament !== 'grace');
    if (main >= 0 && main < own.length - 1) chords.push(onset);
    const taken = main < 0 ? own : own.slice(0, main + 1);
    for (const note of taken) played.push({ note, onset, tick });
  });
  return { chords, notes: played.map((one, i) => lineNote(one, played[i + 1]?.tick, tempo)) };
}

/** Grace notes in their order, then the others. */
function graceFirst(a: Note, b: Note): number {
  const place = (note: Note) =>
    note.ornament === 'grace' ? (note.graceIndex ?? 0) : Number.MAX_SAFE_INTEGER;
  return place(a) - place(b);
}

function lineNote(
  { note, onset, tick }: { readonly note: Note; readonly onset: number; readonly tick: number },
  nextTick: number | undefined,
  tempo: Tempo,
): LineNote {
  const grace = note.ornament === 'grace';
  const micros = nextTick === undefined ? 0 : ticksToMicros(nextTick - tick, tempo);
  return {
    pitch: spellingToPitch(note.spelling),
    spelling: note.spelling,
    onset,
    grace,
    micros: grace ? GRACE_MICROS : micros,
    rested: !grace && nextTick !== undefined && tick + note.durationTicks < nextTick,
  };
}
