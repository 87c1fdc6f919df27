// A reading of a take: one account of what each played note so far was. Readings share their past (each points to
// the one it grew from), so that many can be carried along cheaply; the likeliest one wins.

import {
  chordSurprise,
  EXTRA,
  FARTHER,
  intervalSurprise,
  MISSED,
  missedSurprise,
  ORNAMENT,
  PACE_PRIOR,
  PACE_WANDER,
  paceNoise,
  SHIFTED,
  WENT_BACK,
  WENT_BACK_AT_ONCE,
  wrongPitchSurprise,
} from './evidence.ts';
import type { PlayedNote } from './expectation.ts';
import type { Timetable } from './timetable.ts';

/** `passed`: no note, the time for an onset ran out. */
export type Act = 'start' | 'right' | 'wrong' | 'extra' | 'ornament' | 'passed';

export interface Reading {
  readonly before: Reading | undefined;
  /** Steps since the start. */
  readonly depth: number;
  /** See evidence.ts. */
  readonly cost: number;
  readonly act: Act;
  /** Index of the played note this step is about; -1 for none. */
  readonly played: number;
  /** Its place in the timetable when right or wrong, else -1. */
  readonly place: number;
  /** True when the player went back to this place: what stood there or later was a try given up. */
  readonly wentBack: boolean;
  /** The onset reached; -1 before the first. */
  readonly cursor: number;
  /** Played time of the onset reached. */
  readonly atMicros: number;
  /** Bits of the notes played of the onset reached, and of optional notes played ahead of the next. */
  readonly mask: number;
  readonly ahead: number;
  /** When the first of the extras since the onset reached was played; -1 for none. */
  readonly extraAtMicros: number;
  /** Places behind the onset reached that a late chord note may still fill. */
  readonly open: readonly number[];
  /** Index of the last played note that found a place. */
  readonly last: number;
  /** Logarithm of played time over time asked, and its variance. */
  readonly logPace: number;
  readonly paceVariance: number;
}

const NONE: readonly number[] = [];

/** Chord notes and hands stand at most so far apart to count as one moment. */
const LATE_CHORD_MICROS = 200_000;
/** How many of the next places of a pitch are tried, and how far ahead, and how far back a restart is tried. */
const FORWARD_TRIES = 4;
const FORWARD_ONSETS = 48;
/** A trill may go on a little longer than its note is written. */
const ORNAMENT_LASTS = 1.25;
const BACK_ONSETS = 12;
/** The first interval after a start or a restart says as much about the pace as any other. */
const PACE_STEP_MOST = 3;

export const START: Reading = {
  before: undefined,
  depth: 0,
  cost: 0,
  act: 'start',
  played: -1,
  place: -1,
  wentBack: false,
  cursor: -1,
  atMicros: 0,
  mask: 0,
  ahead: 0,
  extraAtMicros: -1,
  open: NONE,
  last: -1,
  logPace: 0,
  paceVariance: PACE_PRIOR,
};

/** Every reading that one more played note can make of a reading, handed to `add`. */
export function grow(
  reading: Reading,
  note: PlayedNote,
  played: number,
  timetable: Timetable,
  add: (reading: Reading) => void,
): void {
  addExtra(reading, note, played, timetable, add);
  if (reading.cursor >= 0) addChordNotes(reading, note, played, timetable, add);
  addForward(reading, note, played, timetable, add);
  addBack(reading, note, played, timetable, add);
}

function addExtra(
  r: Reading,
  note: PlayedNote,
  played: number,
  timetable: Timetable,
  add: (r: Reading) => void,
): void {
  const ornament = isOrnamentNote(r, note, timetable);
  add({
    ...r,
    before: r,
    depth: r.depth + 1,
    cost: r.cost + (ornament ? ORNAMENT : EXTRA),
    act: ornament ? 'ornament' : 'extra',
    played,
    place: -1,
    wentBack: false,
    extraAtMicros: ornament ? r.extraAtMicros : r.extraAtMicros < 0 ? note.onMicros : r.extraAtMicros,
  });
}

/**
 * Whether a note can belong to a written ornament: the written note itself struck again or a neighbour up to a whole
 * tone away, while the written note lasts, or just before it is due.
 */
function isOrnamentNote(r: Reading, note: PlayedNote, timetable: Timetable): boolean {
  const pace = Math.exp(r.logPace);
  const since = note.onMicros - r.atMicros;
  if (r.cursor >= 0) {
    for (let p = timetable.firstPlace[r.cursor]!; p < timetable.firstPlace[r.cursor + 1]!; p++) {
      const place = timetable.places[p]!;
      if (place.ornamented && Math.abs(place.pitch - note.pitch) <= 2) {
        if (since <= place.lastsMicros * pace * ORNAMENT_LASTS) return true;
      }
    }
  }
  const next = r.cursor + 1;
  if (next >= timetable.atMicros.length) return false;
  const due = r.cursor < 0 ? 0 : (timetable.atMicros[next]! - timetable.atMicros[r.cursor]!) * pace;
  if (since < due / 2) return false;
  for (let p = timetable.firstPlace[next]!; p < timetable.firstPlace[next + 1]!; p++) {
    const place = timetable.places[p]!;
    const apart = Math.abs(place.pitch - note.pitch);
    // An ornament may begin with the neighbour; the written note itself is then the note, not an added one.
    if (place.ornamented && apart >= 1 && apart <= 2) return true;
  }
  return false;
}

function addChordNotes(
  r: Reading,
  note: PlayedNote,
  played: number,
  timetable: Timetable,
  add: (r: Reading) => void,
): void {
  const first = timetable.firstPlace[r.cursor]!;
  const end = timetable.firstPlace[r.cursor + 1]!;
  const apart = note.onMicros - r.atMicros;
  for (let p = first; p < end; p++) {
    const place = timetable.places[p]!;
    const bit = 1 << place.note;
    if ((r.mask & bit) !== 0) continue;
    const right = place.pitch === note.pitch;
    if (!right && (!place.required || apart > LATE_CHORD_MICROS)) continue;
    const pitchCost = right ? 0 : wrongPitchSurprise(place.pitch, note.pitch);
    add({
      ...r,
      before: r,
      depth: r.depth + 1,
      cost: r.cost + pitchCost + chordSurprise(apart),
      act: right ? 'right' : 'wrong',
      played,
      place: p,
      wentBack: false,
      mask: r.mask | bit,
      last: played,
    });
  }
  for (const p of r.open) {
    const place = timetable.places[p]!;
    if (place.pitch !== note.pitch) continue;
    const due =
      r.atMicros - (timetable.atMicros[r.cursor]! - timetable.atMicros[place.onset]!) * Math.exp(r.logPace);
    const late = note.onMicros - due;
    if (late > LATE_CHORD_MICROS) continue;
    add({
      ...r,
      before: r,
      depth: r.depth + 1,
      cost: r.cost - MISSED + chordSurprise(late),
      act: 'right',
      played,
      place: p,
      wentBack: false,
      open: r.open.filter((other) => other !== p),
      last: played,
    });
  }
  // Optional notes before the next onset.
  if (r.cursor + 1 < timetable.atMicros.length) addAhead(r, note, played, timetable, add);
}

function addAhead(
  r: Reading,
  note: PlayedNote,
  played: number,
  timetable: Timetable,
  add: (r: Reading) => void,
): void {
  for (let p = timetable.firstPlace[r.cursor + 1]!; p < timetable.firstPlace[r.cursor + 2]!; p++) {
    const place = timetable.places[p]!;
    const bit = 1 << place.note;
    if (place.required || place.pitch !== note.pitch || (r.ahead & bit) !== 0) continue;
    add({
      ...r,
      before: r,
      depth: r.depth + 1,
      cost: r.cost + ORNAMENT,
      act: 'right',
      played,
      place: p,
      wentBack: false,
      ahead: r.ahead | bit,
      last: played,
    });
  }
}

function addForward(
  r: Reading,
  note: PlayedNote,
  played: number,
  timetable: Timetable,
  add: (r: Reading) => void,
): void {
  const next = r.cursor + 1;
  if (next >= timetable.atMicros.length) return;
  if (r.cursor < 0) addAhead(r, note, played, timetable, add);
  const onsets = timetable.onsetsOfPitch.get(note.pitch) ?? NONE;
  const from = firstAtLeast(onsets, next);
  for (let k = from; k < Math.min(onsets.length, from + FORWARD_TRIES); k++) {
    const onset = onsets[k]!;
    if (onset > next + FORWARD_ONSETS) break;
    add(moved(r, note, played, timetable, onset, placeOf(timetable, onset, note.pitch), 0));
  }
  for (let p = timetable.firstPlace[next]!; p < timetable.firstPlace[next + 1]!; p++) {
    const place = timetable.places[p]!;
    if (!place.required || place.pitch === note.pitch) continue;
    add(moved(r, note, played, timetable, next, p, wrongPitchSurprise(place.pitch, note.pitch)));
  }
}

function placeOf(timetable: Timetable, onset: number, pitch: number): number {
  for (let p = timetable.firstPlace[onset]!; ; p++) {
    const place = timetable.places[p]!;
    if (place.required && place.pitch === pitch) return p;
  }
}

/** The reading after moving on to a later onset, the notes in between passed over. */
function moved(
  r: Reading,
  note: PlayedNote,
  played: number,
  timetable: Timetable,
  onset: number,
  place: number,
  pitchCost: number,
): Reading {
  const left = r.cursor < 0 ? 0 : bitCount(timetable.requiredMask[r.cursor]! & ~r.mask);
  const skipped = timetable.requiredBefore[onset]! - timetable.requiredBefore[r.cursor + 1]!;
  let cost = r.cost + pitchCost + left * MISSED + missedSurprise(skipped);
  let { logPace, paceVariance } = r;
  if (r.cursor >= 0) {
    const asked = timetable.atMicros[onset]! - timetable.atMicros[r.cursor]!;
    const pace = Math.exp(r.logPace);
    const expected = asked * pace;
    const took = note.onMicros - r.atMicros;
    const paceSd = Math.sqrt(paceVariance);
    let surprise = intervalSurprise(took, expected, paceSd);
    if (skipped > 0) {
      // The time of the skipped notes skipped with them.
      const step = (timetable.atMicros[r.cursor + 1]! - timetable.atMicros[r.cursor]!) * pace;
      surprise = Math.min(surprise, SHIFTED + intervalSurprise(took, step, paceSd));
    }
    if (r.extraAtMicros >= 0) {
      // The added note took this one's time, and this one came after it.
      const shifted = intervalSurprise(r.extraAtMicros - r.atMicros, expected, paceSd);
      surprise = Math.min(surprise, SHIFTED + shifted);
    }
    cost += surprise;
    paceVariance += PACE_WANDER;
    if (expected > 0 && skipped === 0 && r.extraAtMicros < 0) {
      const observed = Math.log(Math.max(took, expected * 0.2) / asked);
      const noise = paceNoise(expected);
      const sd = Math.sqrt(noise + paceVariance);
      const d = observed - r.logPace;
      // Hesitations and rushes are no news of the pace.
      if (Math.abs(d) < PACE_STEP_MOST * sd) {
        const gain = paceVariance / (paceVariance + noise);
        logPace += gain * d;
        paceVariance *= 1 - gain;
      }
    }
  }
  return {
    before: r,
    depth: r.depth + 1,
    cost,
    act: pitchCost > 0 ? 'wrong' : 'right',
    played,
    place,
    wentBack: false,
    cursor: onset,
    atMicros: note.onMicros,
    mask: (1 << timetable.places[place]!.note) | (onset === r.cursor + 1 ? r.ahead : 0),
    ahead: 0,
    extraAtMicros: -1,
    open: timetable.singleLine ? NONE : stillOpen(r, timetable, onset),
    last: played,
    logPace,
    paceVariance,
  };
}

/** Places left behind that a late chord note may still fill. */
function stillOpen(r: Reading, timetable: Timetable, onset: number): readonly number[] {
  const pace = Math.exp(r.logPace);
  const since = timetable.atMicros[onset]! - LATE_CHORD_MICROS / pace;
  const open = r.open.filter((p) => timetable.atMicros[timetable.places[p]!.onset]! >= since);
  for (let o = Math.max(0, r.cursor); o < onset; o++) {
    if (timetable.atMicros[o]! < since) continue;
    for (let p = timetable.firstPlace[o]!; p < timetable.firstPlace[o + 1]!; p++) {
      const place = timetable.places[p]!;
      if (place.required && !(o === r.cursor && (r.mask & (1 << place.note)) !== 0)) open.push(p);
    }
  }
  return open.length > 0 ? open : NONE;
}

function addBack(
  r: Reading,
  note: PlayedNote,
  played: number,
  timetable: Timetable,
  add: (r: Reading) => void,
): void {
  if (r.cursor < 0) return;
  const onsets = timetable.onsetsOfPitch.get(note.pitch) ?? NONE;
  const nextOnset = Math.min(r.cursor + 1, timetable.atMicros.length - 1);
  const step =
    (timetable.atMicros[nextOnset]! - timetable.atMicros[Math.max(0, nextOnset - 1)]!) * Math.exp(r.logPace);
  // Nobody goes back without a breath: the usual time of a note and a little more.
  const paused = note.onMicros - r.atMicros > 1.25 * step;
  const cost = r.cost + WENT_BACK + (paused ? 0 : WENT_BACK_AT_ONCE);
  for (let k = firstAtLeast(onsets, r.cursor + 1) - 1; k >= 0; k--) {
    const onset = onsets[k]!;
    const near = onset >= r.cursor - BACK_ONSETS;
    if (!near && onset > 0) {
      k = Math.min(k, 1); // The passage's beginning is the other place that players go back to.
      continue;
    }
    const place = placeOf(timetable, onset, note.pitch);
    add({
      before: r,
      depth: r.depth + 1,
      cost: cost + FARTHER * Math.log2(1 + r.cursor - onset),
      act: 'right',
      played,
      place,
      wentBack: true,
      cursor: onset,
      atMicros: note.onMicros,
      mask: 1 << timetable.places[place]!.note,
      ahead: 0,
      extraAtMicros: -1,
      open: NONE,
      last: played,
      logPace: r.logPace,
      paceVariance: r.paceVariance,
    });
  }
}

/** Index of the first entry of a rising list that is at least `least`. */
function firstAtLeast(rising: readonly number[], least: number): number {
  let low = 0;
  let high = rising.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rising[middle]! < least) low = middle + 1;
    else high = middle;
  }
  return low;
}

export function bitCount(bits: number): number {
  let count = 0;
  for (let rest = bits; rest !== 0; rest &= rest - 1) count++;
  return count;
}
