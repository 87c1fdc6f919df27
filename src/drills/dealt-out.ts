// A step dealt out among players: the run stays as it is, so that all stop where the music as a whole has an onset;
// each player gets a line of the parts that are theirs.

import { INSTRUMENTS, type InstrumentName } from '../music/instrument.ts';
import type { Passage } from '../music/passage.ts';
import { transposeSpelling } from '../music/transposition.ts';
import type { Line, Step, StepOnset } from './step.ts';

/** The line of all parts of a passage. The onsets are asked for once, when they are first looked at. */
export function wholeLine(passage: Passage, writeOut: () => readonly StepOnset[]): Line {
  let onsets: readonly StepOnset[] | undefined;
  return {
    parts: passage.parts.map((_, i) => i),
    transposition: transpositionOf(passage, 0),
    get onsets() {
      onsets ??= writeOut();
      return onsets;
    },
  };
}

/** The music of a passage that one player has. */
export interface Share {
  /** Indexes of parts; absent: all of them. */
  readonly parts?: readonly number[];
  /** Read with another instrument than the part is written for: what sounds stays, the names move. */
  readonly instrument?: InstrumentName;
}

/**
 * The step with a line for each player, in their order. A player without parts of their own plays everything. Who
 * rests through the whole run has a line without onsets.
 */
export function dealtOut({ run, lines }: Step, players: readonly Share[], passage: Passage): Step {
  const whole = lines[0]!;
  return {
    run,
    lines: players.map(({ parts, instrument }) => {
      const line = parts === undefined ? whole : lineOfParts(whole, parts, passage);
      return instrument === undefined ? line : readWith(line, instrument, passage);
    }),
  };
}

function readWith(line: Line, instrument: InstrumentName, passage: Passage): Line {
  const { transposition } = INSTRUMENTS[instrument];
  let onsets: readonly StepOnset[] | undefined;
  return {
    parts: line.parts,
    transposition,
    get onsets() {
      onsets ??= line.onsets.map((onset) => ({
        ...onset,
        notes: onset.notes.map((note) => ({
          ...note,
          spelling: transposeSpelling(note.spelling, transpositionOf(passage, note.part) - transposition),
        })),
      }));
      return onsets;
    },
  };
}

function lineOfParts(whole: Line, parts: readonly number[], passage: Passage): Line {
  let onsets: readonly StepOnset[] | undefined;
  return {
    parts,
    transposition: transpositionOf(passage, parts[0]!),
    get onsets() {
      onsets ??= onsetsOfParts(whole.onsets, parts);
      return onsets;
    },
  };
}

function onsetsOfParts(all: readonly StepOnset[], parts: readonly number[]): StepOnset[] {
  const mine: StepOnset[] = [];
  // A stretch that falls where this player holds a note or rests belongs to the interval that it is part of.
  let lean = 0;
  for (const { leanTicks = 0, ...onset } of all) {
    const notes = onset.notes.filter((note) => parts.includes(note.part));
    if (notes.some((note) => note.ornament !== 'grace')) {
      const durationTicks = Math.max(...notes.map((note) => note.durationTicks));
      mine.push({ ...onset, notes, durationTicks });
      lean = 0;
    }
    lean += leanTicks;
    const last = mine.at(-1);
    if (last && lean > 0) mine[mine.length - 1] = { ...last, leanTicks: lean };
  }
  return mine;
}

function transpositionOf(passage: Passage, part: number): number {
  return INSTRUMENTS[passage.parts[part]?.instrument ?? 'keyboard'].transposition;
}
