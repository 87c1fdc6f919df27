// The line that one part's player fingers: the notes one after another, on written pitch, with the time between them.

import type { Onset } from '../music/onset.ts';
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
  const notes: (Omit<LineNote, 'micros' | 'rested'> & { tick: number; endTick: number })[] = [];
  onsets.forEach(({ tick, notes: all }, onset) => {
    const own = all.filter((note) => note.part === part);
    const main = own.filter((note) => note.ornament !== 'grace');
    const graces = own
      .filter((note) => note.ornament === 'grace')
      .sort((a, b) => (a.graceIndex ?? 0) - (b.graceIndex ?? 0));
    if (main.length > 1) chords.push(onset);
    for (const note of [...graces, ...main.slice(0, 1)]) {
      notes.push({
        pitch: spellingToPitch(note.spelling),
        spelling: note.spelling,
        onset,
        grace: note.ornament === 'grace',
        tick,
        endTick: tick + note.durationTicks,
      });
    }
  });
  return {
    chords,
    notes: notes.map(({ tick, endTick, ...note }, i) => {
      const next = notes[i + 1];
      const micros = note.grace ? GRACE_MICROS : next ? ticksToMicros(next.tick - tick, tempo) : 0;
      return { ...note, micros, rested: !note.grace && next !== undefined && endTick < next.tick };
    }),
  };
}
