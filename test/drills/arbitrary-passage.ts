// Random passages for property tests: any meter, pickups, rests and ties across beats, triplets, chords, grace notes,
// changes of meter, transposing instruments; every written pitch in the instrument's range. Ours, drawn at random.

import fc from 'fast-check';
import { INSTRUMENT_NAMES, INSTRUMENTS, type InstrumentName } from '../../src/music/instrument.ts';
import { type Bar, barTicks, beatTicks, type Meter } from '../../src/music/meter.ts';
import type { Note, Onset } from '../../src/music/onset.ts';
import type { Mode, Passage } from '../../src/music/passage.ts';
import { spellPitch } from '../../src/music/pitch.ts';
import type { Span } from '../../src/music/span.ts';

export interface PassageWishes {
  /** 2 and 60 when nothing is said. */
  readonly minOnsets?: number;
  readonly maxOnsets?: number;
  /** All onsets so many ticks apart, without rests. */
  readonly evenTicks?: number;
  readonly meters?: readonly Meter[];
  readonly instruments?: readonly InstrumentName[];
  /** False: no chords. */
  readonly chords?: boolean;
}

export const METERS: readonly Meter[] = [
  { count: 4, unit: 4 },
  { count: 3, unit: 4 },
  { count: 2, unit: 4 },
  { count: 6, unit: 8 },
  { count: 9, unit: 8 },
  { count: 12, unit: 8 },
  { count: 2, unit: 2 },
  { count: 3, unit: 8 },
  { count: 5, unit: 8 },
  { count: 7, unit: 8 },
  { count: 5, unit: 8, groups: [3, 2] },
  { count: 7, unit: 8, groups: [3, 2, 2] },
  { count: 8, unit: 8, groups: [3, 3, 2] },
  { count: 6, unit: 8, groups: [2, 2, 2] },
  { count: 11, unit: 16 },
  { count: 5, unit: 4 },
  { count: 1, unit: 4 },
];

/** From thirty-seconds to a dotted half, triplets and quintuplets too. */
const LENGTHS = [1260, 2016, 2520, 3360, 5040, 5040, 6720, 7560, 10_080, 10_080, 15_120, 20_160, 30_240];

const MODES: readonly Mode[] = ['major', 'minor', 'dorian', 'phrygian', 'lydian', 'mixolydian', 'locrian'];

interface Element {
  readonly lengthTicks: number;
  readonly restTicks: number;
  readonly places: readonly number[];
  readonly grace: boolean;
}

export function arbitraryPassage(wishes: PassageWishes = {}): fc.Arbitrary<Passage> {
  const { minOnsets = 2, maxOnsets = 60, evenTicks, meters = METERS, chords = true } = wishes;
  const length = evenTicks === undefined ? fc.constantFrom(...LENGTHS) : fc.constant(evenTicks);
  const rest =
    evenTicks === undefined
      ? fc.oneof(
          { weight: 6, arbitrary: fc.constant(0) },
          { weight: 1, arbitrary: fc.constantFrom(...LENGTHS) },
        )
      : fc.constant(0);
  const element: fc.Arbitrary<Element> = fc.record({
    lengthTicks: length,
    restTicks: rest,
    // Places in the instrument's range, 0 to 1.
    places: fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: chords ? 3 : 1 }),
    grace: fc.nat({ max: 9 }).map((n) => n === 0),
  });
  return fc
    .record({
      elements: fc.array(element, { minLength: minOnsets, maxLength: maxOnsets, size: 'max' }),
      meter: fc.constantFrom(...meters),
      laterMeter: fc.option(fc.constantFrom(...meters), { freq: 4 }),
      pickup: fc.oneof(fc.constant(0), fc.double({ min: 0, max: 1, noNaN: true })),
      fifths: fc.integer({ min: -7, max: 7 }),
      mode: fc.constantFrom(...MODES),
      instrument: fc.constantFrom(...(wishes.instruments ?? INSTRUMENT_NAMES)),
      bpm: fc.integer({ min: 20, max: 240 }),
    })
    .map(({ elements, meter, laterMeter, pickup, fifths, mode, instrument, bpm }) => {
      const { onsets, endTick } = onsetsOf(elements, instrument, fifths);
      return {
        name: 'drawn-at-random',
        title: 'Drawn at random',
        tempo: { bpm, beatTicks: beatTicks(meter) },
        keys: [{ tick: 0, fifths, mode }],
        tempoChanges: [],
        bars: barsOf({ meter, laterMeter: laterMeter ?? meter, pickup, endTick }),
        parts: [{ name: 'solo', instrument }],
        rehearsalMarks: [],
        onsets,
        endTick,
      };
    });
}

/** A span of a random passage, two onsets or more, anywhere in it. */
export function arbitrarySpan(wishes: PassageWishes = {}): fc.Arbitrary<Span> {
  return fc
    .tuple(arbitraryPassage(wishes), fc.nat(), fc.nat(), fc.boolean())
    .map(([passage, a, b, whole]) => {
      const count = passage.onsets.length;
      if (whole) return { passage, first: 1, last: count };
      const first = 1 + (a % (count - 1));
      return { passage, first, last: first + 1 + (b % (count - first)) };
    });
}

/** A span with a snag in it. */
export function arbitrarySnag(wishes: PassageWishes = {}): fc.Arbitrary<{ span: Span; snag: number }> {
  return fc
    .tuple(arbitrarySpan(wishes), fc.nat())
    .map(([span, n]) => ({ span, snag: span.first + (n % (span.last - span.first)) }));
}

function onsetsOf(elements: readonly Element[], instrument: InstrumentName, fifths: number) {
  const { transposition, ...range } = INSTRUMENTS[instrument];
  // What sounds has a MIDI number too, also of an instrument of which only the key is known.
  const lowest = Math.max(range.lowest, -transposition);
  const highest = Math.min(range.highest, 127 - transposition);
  const onsets: Onset[] = [];
  let tick = 0;
  for (const { lengthTicks, restTicks, places, grace } of elements) {
    tick += restTicks;
    const written = [...new Set(places.map((place) => lowest + Math.round(place * (highest - lowest))))];
    written.sort((a, b) => a - b);
    const note = (pitch: number): Note => ({
      pitch: pitch + transposition,
      spelling: spellPitch(pitch, fifths),
      durationTicks: lengthTicks,
      part: 0,
      staff: 1,
      voice: 1,
    });
    const notes = written.map(note);
    if (grace) notes.unshift({ ...note(lowest), durationTicks: 0, ornament: 'grace' });
    onsets.push({ tick, notes });
    tick += lengthTicks;
  }
  return { onsets, endTick: tick };
}

/** A pickup of whole eighths (a bar of eighths has at least one), then bars; half way the meter may change. */
function barsOf(wish: { meter: Meter; laterMeter: Meter; pickup: number; endTick: number }): Bar[] {
  const eighth = 5040;
  const whole = barTicks(wish.meter);
  const pickupTicks = Math.floor((wish.pickup * whole) / eighth) * eighth;
  const bars: Bar[] = [];
  let startTick = 0;
  let number = 1;
  if (pickupTicks > 0 && pickupTicks < whole) {
    bars.push({ number: 0, startTick, durationTicks: pickupTicks, meter: wish.meter, pickup: true });
    startTick = pickupTicks;
  }
  while (startTick < wish.endTick || bars.length === 0) {
    const meter = startTick < wish.endTick / 2 ? wish.meter : wish.laterMeter;
    bars.push({ number: number++, startTick, durationTicks: barTicks(meter), meter, pickup: false });
    startTick += barTicks(meter);
  }
  return bars;
}
