// The notes of a written MIDI file (an export from a score) in our ticks: onsets exact, lengths exact or, where the
// program that wrote the file shortened the notes, put right; grace notes found by what they are in a MIDI file, short
// notes off the grid that lead into one on it.

import { TICKS_PER_QUARTER } from '../../music/ticks.ts';
import type { SoundingNote } from '../draft/sounding-score.ts';
import { lengthsOf } from '../transcription/release.ts';
import { type Grid, isOnGrid } from './grid.ts';
import type { FileNote } from './pairing.ts';

/**
 * Lengths that our own writer gives a grace note, in our ticks, the first that has room before its onset: 60 ms at 60
 * to the minute, less near the passage's start. Primes, so that grace notes stand on no grid.
 */
export const GRACE_TICKS = [601, 401, 199] as const;

/** A grace note is no longer than this share of a quarter. */
const LONGEST_GRACE = 1 / 6;
const MOST_GRACES = 4;

/** The notes of a line that are grace notes, with the onset (in file ticks) that each leads into. */
export function gracesOf(
  notes: readonly FileNote[],
  ticksPerQuarter: number,
  ownFile: boolean,
): Map<FileNote, number> {
  const graces = new Map<FileNote, number>();
  const byTick = [...notes].sort((a, b) => a.onTick - b.onTick);
  const longest = ticksPerQuarter * LONGEST_GRACE;
  let longestAtStart = 0;
  for (const n of byTick) {
    if (n.onTick === 0) longestAtStart = Math.max(longestAtStart, n.offTick ?? Number.POSITIVE_INFINITY);
  }
  for (let i = byTick.length - 1; i >= 0; i--) {
    const note = byTick[i]!;
    const length = (note.offTick ?? Number.POSITIVE_INFINITY) - note.onTick;
    if (length > longest || (ownFile && !GRACE_TICKS.some((ticks) => ticks === length))) continue;
    const later = byTick
      .slice(i + 1, i + 16)
      .filter((n) => n.onTick > note.onTick)
      .reduce<FileNote | undefined>(
        (best, n) => (best && gap(best, note) <= gap(n, note) ? best : n),
        undefined,
      );
    if (!isOnGrid(note.onTick, ticksPerQuarter)) {
      const near = later && gap(later, note) <= ticksPerQuarter / 32;
      if (near) graces.set(note, graces.get(later) ?? later.onTick);
      continue;
    }
    // At the very start there is no room before the onset: there they stand on it.
    if (note.onTick !== 0 || isOnGrid(note.offTick!, ticksPerQuarter)) continue;
    if (longestAtStart > 2 * length) {
      graces.set(note, 0);
    }
  }
  return withoutRuns(graces);
}

/** More than a few in a row are a run of short notes. */
function withoutRuns(graces: Map<FileNote, number>): Map<FileNote, number> {
  const counts = new Map<number, number>();
  for (const onset of graces.values()) counts.set(onset, (counts.get(onset) ?? 0) + 1);
  return new Map([...graces].filter(([, onset]) => counts.get(onset)! <= MOST_GRACES));
}

function gap(next: FileNote, note: FileNote): number {
  return Math.abs(next.onTick - note.offTick!);
}

export function placeWritten(
  notes: readonly FileNote[],
  graces: ReadonlyMap<FileNote, number>,
  grid: Grid,
  ticksPerQuarter: number,
  exactEnds: boolean,
): SoundingNote[] {
  const main = notes.filter((n) => !graces.has(n));
  const onsetTick = (fileTick: number) => grid.placeOn(fileTick) ?? grid.nearest(fileTick);
  const ledTo = new Map(notes.flatMap((n) => (graces.has(n) ? [[n.onTick, graces.get(n)!] as const] : [])));
  const strikes = new Map<number, { index: number; heldTicks: number | undefined }[]>();
  main.forEach((note, index) => {
    const strike = strikes.get(note.onTick) ?? [];
    strikes.set(note.onTick, strike);
    strike.push({ index, heldTicks: held(note, grid) });
  });
  const onsets = [...strikes]
    .sort(([a], [b]) => a - b)
    .map(([fileTick, notes]) => ({ tick: onsetTick(fileTick), notes }));
  // Ends that are not exact are judged like a player's, by quarters.
  const judged = new Map<number, number>();
  for (const list of lengthsOf(onsets, {
    ticksPerBeat: TICKS_PER_QUARTER,
    compound: false,
    divisions: divisionsOf(onsets.map((o) => o.tick)),
  })) {
    for (const { index, durationTicks } of list) judged.set(index, durationTicks);
  }
  const placed: SoundingNote[] = main.map((note, index) => {
    const tick = onsetTick(note.onTick);
    const off = note.offTick;
    // Let go for the grace notes of the next onset: held up to it.
    const led = off === undefined || isOnGrid(off, ticksPerQuarter) ? undefined : ledTo.get(off);
    const exact = exactEnds && off !== undefined ? grid.placeEnd(off) : undefined;
    const end = led !== undefined && led > note.onTick ? onsetTick(led) : exact;
    const durationTicks = end !== undefined && end > tick ? end - tick : judged.get(index)!;
    return { tick, durationTicks, pitch: note.pitch };
  });
  const counts = new Map<number, number>();
  for (const note of notes) {
    const fileTick = graces.get(note);
    if (fileTick === undefined) continue;
    const graceIndex = counts.get(fileTick) ?? 0;
    counts.set(fileTick, graceIndex + 1);
    placed.push({ tick: onsetTick(fileTick), durationTicks: 0, pitch: note.pitch, graceIndex });
  }
  return placed;
}

/** By quarter: into how many parts its onsets divide it. */
function divisionsOf(ticks: readonly number[]): Map<number, number> {
  const steps = new Map<number, number>();
  for (const tick of ticks) {
    const quarter = Math.floor(tick / TICKS_PER_QUARTER);
    let [a, b] = [steps.get(quarter) ?? TICKS_PER_QUARTER, tick - quarter * TICKS_PER_QUARTER];
    while (b > 0) [a, b] = [b, a % b];
    steps.set(quarter, a);
  }
  return new Map([...steps].map(([quarter, step]) => [quarter, Math.min(32, TICKS_PER_QUARTER / step)]));
}

function held(note: FileNote, grid: Grid): number | undefined {
  return note.offTick === undefined ? undefined : grid.nearest(note.offTick) - grid.nearest(note.onTick);
}

/** Whether the file writes its notes to their full length, so that an end on the grid means what it says. */
export function endsAreExact(notes: readonly FileNote[], grid: Grid): boolean {
  const released = notes.filter((n) => n.offTick !== undefined && n.offTick > n.onTick);
  const exact = released.filter((n) => grid.isPlainEnd(n.offTick!));
  return exact.length >= 0.5 * released.length;
}
