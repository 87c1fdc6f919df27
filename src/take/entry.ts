// The right notes at the wrong place: who came in beats early or late, or sounds so many semitones away, has not played
// wrong notes, and is told so once.

import { align } from '../matching/align.ts';
import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import { requiredNotes } from '../music/onset.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { ticksToMicros } from '../music/tempo.ts';
import { microsAt, microsBetween } from '../music/timing.ts';
import { median } from '../statistics.ts';

/** One right note is chance. */
const LEAST_NOTES = 2;
/** An entry that is meant for another beat stands this near to it, a share of the beat. */
const NEAR_SHARE = 0.2;
const MOST_BEATS = 8;

/** How notes match a line. */
export type Matcher = (played: readonly PlayedNote[]) => Alignment;

/**
 * Beats by which the line was entered late (negative: early), a multiple of a half; undefined where it was not played
 * rightly from its first note on, or stood where it should.
 * @param played All notes from the lead-in on, those before the entry included.
 */
export function beatsAway(
  expectation: Expectation,
  played: readonly PlayedNote[],
  match: Matcher,
): number | undefined {
  const { tempo, zeroMicros, onsets } = expectation;
  if (expectation.pulse !== 'click' || zeroMicros === undefined || played.length < LEAST_NOTES)
    return undefined;
  const { notes, extras } = match(played);
  if (extras.some(({ kind }) => kind !== 'ornament')) return undefined;
  const reached = Math.max(...notes.map((note) => (note.played === undefined ? -1 : note.onset)));
  const tried = notes.filter((note) => note.onset <= reached);
  if (tried.some(({ verdict }) => verdict === 'wrong' || verdict === 'missed')) return undefined;
  const right = tried.filter((note) => note.played !== undefined);
  if (right.length < LEAST_NOTES) return undefined;
  const places = right.map(
    (note) => played[note.played!]!.onMicros - zeroMicros - microsAt(expectation, onsets[note.onset]!.tick),
  );
  const away = median(places);
  const beat = ticksToMicros(tempo.beatTicks, tempo);
  if (places.some((place) => Math.abs(place - away) > NEAR_SHARE * beat)) return undefined;
  const halves = Math.round((2 * away) / beat);
  const off = Math.abs(away - ticksToMicros((halves * tempo.beatTicks) / 2, tempo));
  const near = off <= (NEAR_SHARE / 2) * beat;
  return halves !== 0 && near && Math.abs(halves) <= 2 * MOST_BEATS ? halves / 2 : undefined;
}

/**
 * At least this share of the notes must be right once all are moved alike, and at most this share as they were played: in
 * a scale that is moved by a step many notes are right as well.
 */
const MOVED_LEAST = 0.9;
const UNMOVED_MOST = 0.75;
const MOST_SEMITONES = 25;

/**
 * Semitones by which all that was played lies too high (negative: too low); 0 where that does not explain it. Of a take
 * that was broken off at the first notes all of them must agree.
 */
export function semitonesAway(
  expectation: Expectation,
  played: readonly PlayedNote[],
  match: Matcher,
): number {
  if (played.length < LEAST_NOTES) return 0;
  const first = expectation.onsets.flatMap(requiredNotes);
  const counts = new Map<number, number>();
  const begin = played.slice(0, Math.min(12, first.length));
  for (const [i, { pitch }] of begin.entries()) {
    const apart = pitch - first[i]!.pitch;
    counts.set(apart, (counts.get(apart) ?? 0) + 1);
  }
  const [likely = 0] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [];
  if (likely === 0 || Math.abs(likely) > MOST_SEMITONES) return 0;
  const least = played.length < 4 ? 1 : MOVED_LEAST;
  const movedBy = (by: number) => played.map((note) => ({ ...note, pitch: note.pitch - by }));
  // Matching takes long: it is spared where too few of the moved notes are written anywhere.
  if (writtenAmong(expectation, movedBy(likely)) < least * played.length) return 0;
  const rightShare = (by: number): number => {
    const moved = movedBy(by);
    const { notes } = match(moved);
    const right = notes.filter(
      ({ verdict, onset, note, played: index }) =>
        verdict === 'right' && moved[index!]!.pitch === expectation.onsets[onset]!.notes[note]!.pitch,
    ).length;
    return right / played.length;
  };
  return rightShare(0) <= UNMOVED_MOST && rightShare(likely) >= least ? likely : 0;
}

/** So many of the notes have a written one of their pitch to themselves: no more of them can be right. */
function writtenAmong({ onsets }: Expectation, played: readonly PlayedNote[]): number {
  const left = new Map<number, number>();
  for (const { pitch } of onsets.flatMap(({ notes }) => notes)) left.set(pitch, (left.get(pitch) ?? 0) + 1);
  return played.filter(({ pitch }) => {
    const more = left.get(pitch) ?? 0;
    left.set(pitch, more - 1);
    return more > 0;
  }).length;
}

/** With fewer notes a constant distance may as well mean that another place of the music was played. */
const LEAST_IN_TIME = 3;

/** Notes that came in time, all of them equally far from the pitch that was due. */
export interface ShiftInTime {
  /** Too high; negative: too low. Never 0. */
  readonly semitones: number;
  readonly notes: number;
}

/**
 * The same by the click: every note played stands where one is expected, and all are as far from it. So it is known of
 * the first notes already, before a run is stopped. Undefined where that is not so.
 */
export function shiftInTime(
  expectation: Expectation,
  played: readonly PlayedNote[],
): ShiftInTime | undefined {
  const { onsets, zeroMicros, pulse } = expectation;
  if (pulse !== 'click' || zeroMicros === undefined) return undefined;
  const apart: number[] = [];
  // A player who does not know that the pitch is wrong may well run on past the stop.
  const stopMicros = zeroMicros + microsAt(expectation, onsets.at(-1)!.tick) + IN_TIME_MICROS;
  for (const { onMicros, pitch } of played.filter((note) => note.onMicros < stopMicros)) {
    const near = onsets.find(
      ({ tick }) => Math.abs(onMicros - zeroMicros - microsAt(expectation, tick)) < IN_TIME_MICROS,
    );
    const required = near ? requiredNotes(near) : [];
    if (required.length !== 1) return undefined;
    apart.push(pitch - required[0]!.pitch);
  }
  const [semitones = 0] = apart;
  return semitones !== 0 && apart.every((one) => one === semitones)
    ? { semitones, notes: apart.length }
    : undefined;
}

/** Enough of it to say so of one take. `likely`: the distance that the instrument itself explains needs less. */
export function isShifted({ semitones, notes }: ShiftInTime, likely: number): boolean {
  return notes >= (semitones === likely || semitones % 12 === 0 ? LEAST_NOTES : LEAST_IN_TIME);
}

/** A note so near to its time is meant for it. */
const IN_TIME_MICROS = 110_000;

/** Whether the first onset was held over from the landing before, and all after it struck at their time. */
export function isHeldOver(expectation: Expectation, played: readonly PlayedNote[]): boolean {
  const { onsets, zeroMicros } = expectation;
  const later = onsets.slice(1);
  if (later.length === 0 || played.length === 0 || zeroMicros === undefined) return false;
  const due = zeroMicros + microsAt(expectation, later[0]!.tick);
  if (Math.abs(played[0]!.onMicros - due) > microsBetween(expectation, onsets[0]!.tick, later[0]!.tick) / 2)
    return false;
  const { notes, extras } = align({ ...expectation, onsets: later }, played);
  const reached = Math.max(...notes.map((note) => (note.played === undefined ? -1 : note.onset)));
  return (
    extras.every(({ kind }) => kind === 'ornament') &&
    notes.every(({ onset, verdict }) => onset > reached || verdict === 'right' || verdict === 'omitted')
  );
}
