// Strikes: what the player does at one moment, a note or the notes of a chord. Notes belong to one strike when they
// begin close together and sound together; a short note that is over when the next begins is none of a chord.

import type { PlayedNote } from '../../music/played-note.ts';

/** A note that is put on the grid: how hard it was struck does not matter. */
export type CapturedNote = Omit<PlayedNote, 'velocity'>;

export interface StruckChord {
  /** Median of its notes' onsets. */
  readonly atMicros: number;
  /** Indexes into the captured notes, by onset. */
  readonly notes: readonly number[];
}

/** A chord from the keys lands within this (a ten-note chord takes 7 ms on a DIN cable alone, and hands spread it). */
const CHORD_MICROS = 35_000;
/** Two strikes may still turn out to be one chord when they are put on the same place and are no further apart. */
const LOOSE_CHORD_MICROS = 60_000;
/** Chord notes sound together for at least this long. */
const TOGETHER_MICROS = 15_000;
/** Finger asynchrony: "typically tens of ms" (Almeida et al. 2009, JASA 126:1521). */
const BLIP_MICROS = 40_000;

/** Indexes of blips: over in a blink, and the next note follows at once. They are nothing the player meant. */
export function blipsAmong(notes: readonly CapturedNote[]): Set<number> {
  const order = byOnset(notes);
  const blips = new Set<number>();
  order.forEach((index, i) => {
    const note = notes[index]!;
    const next = order[i + 1] === undefined ? undefined : notes[order[i + 1]!]!;
    if (!next || note.offMicros === undefined) return;
    const short = note.offMicros - note.onMicros <= BLIP_MICROS;
    const gap = next.onMicros - note.offMicros;
    if (short && gap > -TOGETHER_MICROS && gap < BLIP_MICROS / 2 && next.onMicros - note.onMicros > 3_000) {
      blips.add(index);
    }
  });
  return blips;
}

export function strikesOf(notes: readonly CapturedNote[], leftOut: ReadonlySet<number>): StruckChord[] {
  const groups: number[][] = [];
  for (const index of byOnset(notes)) {
    if (leftOut.has(index)) continue;
    const group = groups.at(-1);
    const near = group && notes[index]!.onMicros - notes[group[0]!]!.onMicros <= CHORD_MICROS;
    if (near && soundTogether(notes, group, index)) group.push(index);
    else groups.push([index]);
  }
  return groups.map((group) => ({ atMicros: median(group.map((i) => notes[i]!.onMicros)), notes: group }));
}

/** Whether two neighbouring strikes can be one chord, were they put on the same place. */
export function canBeOneChord(notes: readonly CapturedNote[], a: StruckChord, b: StruckChord): boolean {
  return (
    b.atMicros - a.atMicros <= LOOSE_CHORD_MICROS &&
    b.notes.every((index) => soundTogether(notes, a.notes, index))
  );
}

function soundTogether(notes: readonly CapturedNote[], group: readonly number[], index: number): boolean {
  const note = notes[index]!;
  return group.every((other) => {
    const { pitch, offMicros = Number.POSITIVE_INFINITY } = notes[other]!;
    return pitch !== note.pitch && offMicros - note.onMicros >= TOGETHER_MICROS;
  });
}

function byOnset(notes: readonly CapturedNote[]): number[] {
  return notes.map((_, i) => i).sort((a, b) => notes[a]!.onMicros - notes[b]!.onMicros || a - b);
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
