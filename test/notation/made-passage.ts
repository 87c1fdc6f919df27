// Passages made by hand for tests. A passage here is what a reader would give: bars contiguous,
// onsets by tick, notes lowest first.

import { INSTRUMENTS, type InstrumentName } from '../../src/music/instrument.ts';
import { type Bar, barTicks, beatTicks, type Meter } from '../../src/music/meter.ts';
import type { Note, Onset } from '../../src/music/onset.ts';
import type { KeyChange, Passage, TempoChange } from '../../src/music/passage.ts';
import { spellPitch } from '../../src/music/pitch.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';

export interface MadeNote {
  /** In quarters, from the passage's start. */
  readonly at: number;
  readonly length: number;
  /** Sounding. */
  readonly pitch: number;
  readonly part?: number;
  readonly staff?: number;
  readonly voice?: number;
  readonly grace?: boolean;
}

export interface Making {
  readonly name?: string;
  readonly meter?: Meter;
  /** Meters of bars, instead of one meter. */
  readonly meters?: readonly Meter[];
  readonly pickupQuarters?: number;
  readonly fifths?: number;
  readonly bpm?: number;
  readonly instruments?: readonly InstrumentName[];
  readonly marks?: Readonly<Record<string, number>>;
  readonly tempoChanges?: readonly TempoChange[];
  readonly keys?: readonly KeyChange[];
}

export function madePassage(notes: readonly MadeNote[], making: Making = {}): Passage {
  const instruments = making.instruments ?? ['keyboard'];
  const keys = making.keys ?? [{ tick: 0, fifths: making.fifths ?? 0, mode: 'major' }];
  const meters = making.meters ?? [making.meter ?? { count: 4, unit: 4 }];
  const end = Math.max(0, ...notes.map((n) => ticks(n.at + n.length)));
  const bars = madeBars(meters, ticks(making.pickupQuarters ?? 0), end);
  return {
    name: making.name ?? 'made',
    title: 'Made passage',
    tempo: { bpm: making.bpm ?? 60, beatTicks: beatTicks(meters[0]!) },
    keys,
    tempoChanges: making.tempoChanges ?? [],
    bars,
    parts: instruments.map((instrument, i) => ({ name: `Part ${i + 1}`, instrument })),
    rehearsalMarks: Object.entries(making.marks ?? {}).map(([text, at]) => ({ text, tick: ticks(at) })),
    onsets: onsetsOf(notes.map((n) => madeNote(n, instruments, keys))),
    endTick: bars.at(-1)!.startTick + bars.at(-1)!.durationTicks,
  };
}

/** A line of quarters from C4 upwards, so many. */
export function quarters(count: number): MadeNote[] {
  return Array.from({ length: count }, (_, i) => ({ at: i, length: 1, pitch: 60 + i }));
}

function madeBars(meters: readonly Meter[], pickupTicks: number, end: number): Bar[] {
  const bars: Bar[] = [];
  let at = 0;
  if (pickupTicks > 0) {
    bars.push({ number: 0, startTick: 0, durationTicks: pickupTicks, meter: meters[0]!, pickup: true });
    at = pickupTicks;
  }
  for (let i = 0; at < end || i < meters.length; i++) {
    const meter = meters[Math.min(i, meters.length - 1)]!;
    bars.push({ number: i + 1, startTick: at, durationTicks: barTicks(meter), meter, pickup: false });
    at += barTicks(meter);
  }
  return bars;
}

function madeNote(
  note: MadeNote,
  instruments: readonly InstrumentName[],
  keys: readonly KeyChange[],
): { tick: number; note: Note } {
  const tick = ticks(note.at);
  const part = note.part ?? 0;
  const fifths = keys.findLast((k) => k.tick <= tick)?.fifths ?? 0;
  return {
    tick,
    note: {
      pitch: note.pitch,
      spelling: spellPitch(note.pitch - INSTRUMENTS[instruments[part]!].transposition, fifths),
      durationTicks: note.grace ? 0 : ticks(note.length),
      part,
      staff: note.staff ?? 1,
      voice: note.voice ?? 1,
      ...(note.grace ? { ornament: 'grace' as const } : {}),
    },
  };
}

function onsetsOf(placed: readonly { tick: number; note: Note }[]): Onset[] {
  const byTick = new Map<number, Note[]>();
  for (const { tick, note } of placed) byTick.set(tick, [...(byTick.get(tick) ?? []), note]);
  return [...byTick]
    .sort(([a], [b]) => a - b)
    .map(([tick, notes]) => ({ tick, notes: notes.sort((a, b) => a.pitch - b.pitch) }));
}

function ticks(quarters: number): number {
  return Math.round(quarters * TICKS_PER_QUARTER);
}

/** Onsets in quarters, pitches, lengths in quarters. */
export function listedNotes(passage: Passage): [at: number, pitch: number, length: number][] {
  return passage.onsets.flatMap(({ tick, notes }) =>
    notes.map((n): [number, number, number] => [
      tick / TICKS_PER_QUARTER,
      n.pitch,
      n.durationTicks / TICKS_PER_QUARTER,
    ]),
  );
}
