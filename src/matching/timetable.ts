// The expectation laid out for searching: every expected note in one flat list, every onset with its time at the
// tempo asked. Built once for an expectation; never changed afterwards.

import { microsAt, microsBetween } from '../music/timing.ts';
import type { Expectation } from './expectation.ts';

/** One expected note in the flat list; its place in the list is its `place`. */
export interface Place {
  readonly onset: number;
  readonly note: number;
  readonly pitch: number;
  /** False for grace notes, and for a second voice on the same key: one key sounds once. */
  readonly required: boolean;
  /** True where a trill, mordent or turn is written on the note. */
  readonly ornamented: boolean;
  /** Notated length at the tempo asked. */
  readonly lastsMicros: number;
}

export interface Timetable {
  readonly places: readonly Place[];
  /** Time of each onset from tick 0 at the tempo asked, microseconds. */
  readonly atMicros: readonly number[];
  /** Place of each onset's first note; one more entry at the end. */
  readonly firstPlace: readonly number[];
  /** For each onset, the bits (by note index) of its required notes. */
  readonly requiredMask: readonly number[];
  readonly requiredCount: readonly number[];
  /** Number of required notes before each onset; one more entry at the end: how many are passed over by a jump. */
  readonly requiredBefore: readonly number[];
  /** Onsets that hold a required note of a pitch, rising. */
  readonly onsetsOfPitch: ReadonlyMap<number, readonly number[]>;
  /** True when no onset has two required notes: late notes cannot belong to a chord then. */
  readonly singleLine: boolean;
  /** For each onset, the places with a written ornament that begin there or still sound. */
  readonly ornamentsAt: readonly (readonly number[])[];
}

/** A chord of more notes than this has its further notes matched in the second look only (bits of an integer). */
const MASK_BITS = 30;

const known = new WeakMap<Expectation, Timetable>();

/** The timetable of an expectation; the same one for the same expectation. */
export function timetableOf(expectation: Expectation): Timetable {
  let timetable = known.get(expectation);
  if (!timetable) {
    timetable = makeTimetable(expectation);
    known.set(expectation, timetable);
  }
  return timetable;
}

function makeTimetable(expectation: Expectation): Timetable {
  const places: Place[] = [];
  const atMicros: number[] = [];
  const firstPlace: number[] = [];
  const requiredMask: number[] = [];
  const requiredCount: number[] = [];
  const requiredBefore: number[] = [0];
  const onsetsOfPitch = new Map<number, number[]>();
  for (const [onset, { tick, notes }] of expectation.onsets.entries()) {
    atMicros.push(microsAt(expectation, tick));
    firstPlace.push(places.length);
    let mask = 0;
    let count = 0;
    for (const [note, { pitch, ornament, durationTicks }] of notes.entries()) {
      const twin = notes.findIndex((other) => other.pitch === pitch && other.ornament !== 'grace');
      const unison = twin >= 0 && twin < note;
      const required = ornament !== 'grace' && !unison;
      const lastsMicros = microsBetween(expectation, tick, tick + durationTicks);
      const ornamented = required && ornament !== undefined;
      places.push({ onset, note, pitch, required, ornamented, lastsMicros });
      if (!required) continue;
      count++;
      if (note < MASK_BITS) mask |= 1 << note;
      const onsets = onsetsOfPitch.get(pitch) ?? [];
      if (onsets.at(-1) !== onset) onsets.push(onset);
      onsetsOfPitch.set(pitch, onsets);
    }
    requiredMask.push(mask);
    requiredCount.push(count);
    requiredBefore.push(requiredBefore[onset]! + count);
  }
  firstPlace.push(places.length);
  const singleLine = requiredCount.every((count) => count <= 1);
  return {
    places,
    atMicros,
    firstPlace,
    requiredMask,
    requiredCount,
    requiredBefore,
    onsetsOfPitch,
    singleLine,
    ornamentsAt: soundingOrnaments(places, atMicros),
  };
}

/** A trill may go on a little longer than its note is written. */
const ORNAMENT_LASTS = 1.25;

function soundingOrnaments(places: readonly Place[], atMicros: readonly number[]): number[][] {
  const sounding: number[][] = atMicros.map(() => []);
  for (const [p, place] of places.entries()) {
    if (!place.ornamented || isWrittenOut(place, places, atMicros)) continue;
    const end = ornamentEnd(place, atMicros);
    sounding[place.onset]!.push(p);
    for (let o = place.onset + 1; o < atMicros.length && atMicros[o]! < end; o++) sounding[o]!.push(p);
  }
  return sounding;
}

/** Where the notes of an ornament are written themselves, added ones are not expected: two neighbours while it sounds. */
function isWrittenOut(place: Place, places: readonly Place[], atMicros: readonly number[]): boolean {
  const end = atMicros[place.onset]! + place.lastsMicros;
  let neighbours = 0;
  for (const other of places) {
    if (other.onset <= place.onset || !other.required) continue;
    if (atMicros[other.onset]! >= end) break;
    if (Math.abs(other.pitch - place.pitch) <= 2) neighbours++;
  }
  return neighbours >= 2;
}

/** Until when added notes can belong to a written ornament, at the tempo asked. */
export function ornamentEnd(place: Place, atMicros: readonly number[]): number {
  return atMicros[place.onset]! + ORNAMENT_LASTS * place.lastsMicros;
}

/** One past the last place of an onset. */
export function firstPlaceAfter(timetable: Timetable, onset: number): number {
  return timetable.firstPlace[onset + 1]!;
}

/** The required note of a pitch in an onset that has one (see onsetsOfPitch). */
export function placeOfPitch(timetable: Timetable, onset: number, pitch: number): number {
  for (let p = timetable.firstPlace[onset]!; ; p++) {
    const place = timetable.places[p]!;
    if (place.required && place.pitch === pitch) return p;
  }
}

/** Index of the first entry of a rising list that is at least `least`; the length when there is none. */
export function firstAtLeast(rising: readonly number[], least: number): number {
  let low = 0;
  let high = rising.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rising[middle]! < least) low = middle + 1;
    else high = middle;
  }
  return low;
}
