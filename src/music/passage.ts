// A passage: the stretch of music being worked. Immutable; readers in src/notation make it, drills take spans of it.

import type { Annotation } from './annotation.ts';
import type { InstrumentName } from './instrument.ts';
import type { Bar } from './meter.ts';
import type { Onset } from './onset.ts';
import type { Tempo } from './tempo.ts';

export type Mode = 'major' | 'minor' | 'dorian' | 'phrygian' | 'lydian' | 'mixolydian' | 'locrian';

/** A written key signature from a tick on. `fifths`: sharps, negative for flats, -7 to 7. */
export interface KeyChange {
  readonly tick: number;
  readonly fifths: number;
  readonly mode: Mode;
}

/** A tempo mark inside the passage, kept in proportion to the goal tempo. */
export interface TempoChange {
  readonly tick: number;
  readonly tempo: Tempo;
}

export interface Part {
  readonly name: string;
  readonly instrument: InstrumentName;
}

/** A rehearsal mark ("A", "12a") printed over a bar. */
export interface RehearsalMark {
  readonly tick: number;
  readonly text: string;
}

export interface Passage {
  /** A bundled name or a file's path, as the player gave it. */
  readonly name: string;
  readonly title: string;
  readonly composer?: string;
  /** Goal tempo. Its beat is the meter's own unless the music says otherwise. */
  readonly tempo: Tempo;
  /** The first is at tick 0. */
  readonly keys: readonly KeyChange[];
  readonly tempoChanges: readonly TempoChange[];
  /** Contiguous from tick 0. */
  readonly bars: readonly Bar[];
  readonly parts: readonly Part[];
  readonly rehearsalMarks: readonly RehearsalMark[];
  /** By tick; onsets of all parts merged; numbered from 1 in everything a player sees. */
  readonly onsets: readonly Onset[];
  readonly endTick: number;
  /** What is written for the reader beside the notes; drills put it there for sheets. */
  readonly annotations?: readonly Annotation[];
  /** Of staves that are written in another clef than their notes call for. */
  readonly clefs?: readonly StaffClef[];
}

export interface StaffClef {
  /** Index among the parts, and number of the staff in it from 1. */
  readonly part: number;
  readonly staff: number;
  readonly clef: 'treble' | 'bass';
}
