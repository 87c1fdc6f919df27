// The expectation laid out for searching: every expected note in one flat list, every onset with its time at the
// tempo asked. Built once for an expectation; never changed afterwards.

import { isOrnamentPitch, requiredNotes } from '../music/onset.ts';
import { microsAt, microsBetween } from '../music/timing.ts';
import { Remembered } from '../remembered.ts';
import type { Expectation } from './expectation.ts';

/** One expected note in the flat list. Elsewhere a number called `slot` is an index into this list. */
export interface Slot {
  readonly onset: number;
  readonly note: number;
  readonly pitch: number;
  /** Of its part, where that is known: whose hand plays it. */
  readonly staff: number | undefined;
  /** False for grace notes, and for a second voice on the same key: one key sounds once. */
  readonly required: boolean;
  /** The slot of the first voice on the same key, for a second voice; else -1. */
  readonly twinOf: number;
  /** True where a trill, mordent or turn is written on the note. */
  readonly ornamented: boolean;
  /** Notated length at the tempo asked. */
  readonly lastsMicros: number;
}

export interface Timetable {
  readonly slots: readonly Slot[];
  /** Time of each onset from tick 0 at the tempo asked, microseconds. */
  readonly atMicros: readonly number[];
  /** Slot of each onset's first note; one more entry at the end. */
  readonly firstSlot: readonly number[];
  /** For each onset, the bits (by note index) of its required notes. */
  readonly requiredMask: readonly number[];
  /** For each onset, how many grace notes are written before it. */
  readonly graceCount: readonly number[];
  /** The slots of grace notes, rising. */
  readonly graceSlots: readonly number[];
  readonly requiredCount: readonly number[];
  /** Number of required notes before each onset; one more entry at the end: how many are passed over by a jump. */
  readonly requiredBefore: readonly number[];
  /** Onsets that hold a required note of a pitch, rising. */
  readonly onsetsOfPitch: ReadonlyMap<number, readonly number[]>;
  /** True when no onset has two required notes: late notes cannot belong to a chord then. */
  readonly singleLine: boolean;
  /** For each onset, the slots with a written ornament that begin there or still sound. */
  readonly ornamentsAt: readonly (readonly number[])[];
}

/** Of a larger chord the further notes are matched in the second look only: there is one bit of an integer for each. */
const MASK_BITS = 30;

/** When a take begins makes no difference: one that comes again at the same tempo has the same timetable. */
const TIMETABLES = new Remembered<Expectation['onsets'], Timetable>();

/** The timetable of an expectation; the same one for the same expectation. */
export function timetableOf(expectation: Expectation): Timetable {
  const { onsets, tempo, paces } = expectation;
  const from = [tempo.bpm, tempo.beatTicks, paces];
  return TIMETABLES.known(onsets, from) ?? TIMETABLES.keep(onsets, makeTimetable(expectation), from);
}

function makeTimetable(expectation: Expectation): Timetable {
  const slots: Slot[] = [];
  const atMicros: number[] = [];
  const firstSlot: number[] = [];
  const requiredMask: number[] = [];
  const requiredCount: number[] = [];
  const graceCount: number[] = [];
  const requiredBefore: number[] = [0];
  const onsetsOfPitch = new Map<number, number[]>();
  for (const [onset, { tick, notes }] of expectation.onsets.entries()) {
    atMicros.push(microsAt(expectation, tick));
    firstSlot.push(slots.length);
    let mask = 0;
    let count = 0;
    for (const [note, { pitch, ornament, durationTicks, staff }] of notes.entries()) {
      const twin = notes.findIndex((other) => other.pitch === pitch && other.ornament !== 'grace');
      const twinOf = twin >= 0 && twin < note && ornament !== 'grace' ? firstSlot[onset]! + twin : -1;
      const required = ornament !== 'grace' && twinOf < 0;
      const lastsMicros = microsBetween(expectation, tick, tick + durationTicks);
      const ornamented = required && ornament !== undefined;
      slots.push({ onset, note, pitch, staff, required, twinOf, ornamented, lastsMicros });
      if (!required) continue;
      count++;
      if (note < MASK_BITS) mask |= 1 << note;
      const onsets = onsetsOfPitch.get(pitch) ?? [];
      if (onsets.at(-1) !== onset) onsets.push(onset);
      onsetsOfPitch.set(pitch, onsets);
    }
    requiredMask.push(mask);
    requiredCount.push(count);
    graceCount.push(notes.length - requiredNotes({ notes }).length);
    requiredBefore.push(requiredBefore[onset]! + count);
  }
  firstSlot.push(slots.length);
  const singleLine = requiredCount.every((count) => count <= 1);
  return {
    slots,
    atMicros,
    firstSlot,
    requiredMask,
    graceCount,
    graceSlots: [...slots.keys()].filter((p) => isGrace(slots[p]!)),
    requiredCount,
    requiredBefore,
    onsetsOfPitch,
    singleLine,
    ornamentsAt: soundingOrnaments(slots, atMicros),
  };
}

/** A trill may go on a little longer than its note is written. Judgement. */
const ORNAMENT_LASTS = 1.25;

function soundingOrnaments(slots: readonly Slot[], atMicros: readonly number[]): number[][] {
  const sounding: number[][] = atMicros.map(() => []);
  for (const [p, slot] of slots.entries()) {
    if (!slot.ornamented || isWrittenOut(slot, slots, atMicros)) continue;
    const end = ornamentEnd(slot, atMicros);
    sounding[slot.onset]!.push(p);
    for (let o = slot.onset + 1; o < atMicros.length && atMicros[o]! < end; o++) sounding[o]!.push(p);
  }
  return sounding;
}

/**
 * Whether an ornament's notes are written out: two neighbouring notes begin while it sounds. Then none are to be added.
 */
function isWrittenOut(slot: Slot, slots: readonly Slot[], atMicros: readonly number[]): boolean {
  const end = atMicros[slot.onset]! + slot.lastsMicros;
  let neighbours = 0;
  for (const other of slots) {
    if (other.onset <= slot.onset || !other.required) continue;
    if (atMicros[other.onset]! >= end) break;
    if (isOrnamentPitch(slot.pitch, other.pitch)) neighbours++;
  }
  return neighbours >= 2;
}

/** Until when added notes can belong to a written ornament, at the tempo asked. */
export function ornamentEnd(slot: Slot, atMicros: readonly number[]): number {
  return atMicros[slot.onset]! + ORNAMENT_LASTS * slot.lastsMicros;
}

export function isGrace({ required, twinOf }: Slot): boolean {
  return !required && twinOf < 0;
}

/** One past the last slot of an onset. */
export function firstSlotAfter(timetable: Timetable, onset: number): number {
  return timetable.firstSlot[onset + 1]!;
}

/** The required note of a pitch in an onset that has one (see onsetsOfPitch). */
export function slotOfPitch(timetable: Timetable, onset: number, pitch: number): number {
  for (let p = timetable.firstSlot[onset]!; ; p++) {
    const slot = timetable.slots[p]!;
    if (slot.required && slot.pitch === pitch) return p;
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
