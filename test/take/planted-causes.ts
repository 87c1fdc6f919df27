// Takes with one planted cause each: lines of our own, played with the fingers' own unevenness (independent Gaussian
// delays, Wing & Kristofferson 1973) and one fault of a known kind and size.

import type { Expectation, ExpectedOnset } from '../../src/matching/expectation.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';
import type { Random } from '../../src/simulation/random.ts';
import { type Tolerance, toleranceMicros } from '../../src/take/tolerance.ts';

export const PLANTED_CAUSES = [
  'interval',
  'displaced',
  'drift',
  'tempo',
  'pattern',
  'evened',
  'hand',
  'uneven',
] as const;

export type PlantedCause = (typeof PLANTED_CAUSES)[number];

export interface PlantedTake {
  readonly expectation: Expectation;
  readonly played: readonly PlayedNote[];
  readonly cause: PlantedCause;
  /** Positive = late, long, slow. */
  readonly way: 1 | -1;
  /** The onset of it; the interval leads into it. */
  readonly onset: number;
}

const ZERO_MICROS = 3_000_000;
const QUARTER = TICKS_PER_QUARTER;

export function plantedTake(cause: PlantedCause, random: Random, tolerance: Tolerance): PlantedTake {
  const bpm = random.integer(50, 120);
  const pulse = cause === 'tempo' || random.chance(0.6) ? 'click' : 'free';
  const onsets = lineFor(cause, random);
  const tempo = { bpm, beatTicks: QUARTER };
  const microsPerTick = 60e6 / (bpm * QUARTER);
  const asked = onsets.map((onset) => onset.tick * microsPerTick);
  const gaps = asked.slice(1).map((at, i) => at - asked[i]!);
  const size = random.between(1, 4);
  const way = random.chance(0.5) ? 1 : -1;
  const onset = random.integer(2, onsets.length - 3);
  const off = Math.min(size * toleranceMicros(tolerance, gaps[onset - 1]!), 0.6 * Math.min(...gaps)) * way;
  const motor = random.between(5_000, 15_000);
  const at = placed({ cause, asked, gaps, off, onset, onsets });
  // As uneven as the fault is large, but no more than a seventh of a note: farther is another rhythm.
  const uneven = Math.max(motor, Math.min(Math.abs(off) / 2, 0.15 * Math.min(...gaps)));
  const sd = cause === 'uneven' ? uneven : motor;
  const lag = random.between(-30_000, 30_000);
  const played = onsets.flatMap(({ notes }, i): PlayedNote[] =>
    notes.map(({ pitch, staff }) => {
      const hand = cause === 'hand' && staff === 2 ? off : 0;
      const onMicros = Math.round(ZERO_MICROS + lag + at[i]! + hand + random.normal(0, sd));
      return { pitch, onMicros, offMicros: onMicros + 120_000, velocity: 80 };
    }),
  );
  const expectation: Expectation = {
    onsets,
    tempo,
    pulse,
    ...(pulse === 'click' ? { zeroMicros: ZERO_MICROS } : {}),
  };
  played.sort((a, b) => a.onMicros - b.onMicros);
  return { expectation, played, cause, way, onset };
}

function placed(take: {
  readonly cause: PlantedCause;
  readonly asked: readonly number[];
  readonly gaps: readonly number[];
  readonly off: number;
  readonly onset: number;
  readonly onsets: readonly ExpectedOnset[];
}): number[] {
  const { cause, asked, gaps, off, onset, onsets } = take;
  switch (cause) {
    case 'interval':
      return asked.map((at, i) => (i >= onset ? at + off : at));
    case 'displaced':
      return asked.map((at, i) => (i === onset ? at + off : at));
    case 'tempo':
      return asked.map((at) => at * (1 + Math.max(-0.35, off / gaps[onset - 1]!)));
    case 'drift': {
      // The last interval is off by the size, the first by nothing.
      const total = asked.at(-1)!;
      const rate = off / gaps.at(-1)! / total;
      return asked.map((at) => at + (rate * at * at) / 2);
    }
    case 'pattern':
      return asked.map((at, i) => (i % 2 === 1 ? at + off : at));
    case 'evened': {
      const whole = asked.at(-1)! / onsets.at(-1)!.tick;
      return asked.map((at, i) =>
        i % 2 === 1 ? ((onsets[i - 1]!.tick + onsets[i + 1]!.tick) / 2) * whole : at,
      );
    }
    default:
      return [...asked];
  }
}

function lineFor(cause: PlantedCause, random: Random): ExpectedOnset[] {
  const pitches = (count: number): number[] => {
    let pitch = random.integer(60, 72);
    return Array.from({ length: count }, () => {
      pitch += random.pick([-4, -2, -1, 1, 2, 3, 5]);
      pitch = Math.min(84, Math.max(55, pitch));
      return pitch;
    });
  };
  const count = random.integer(10, 24);
  const unit = random.pick([QUARTER / 2, QUARTER / 4]);
  if (cause === 'hand') return twoStaves(random, unit);
  if (cause === 'evened') {
    const odd = count % 2 === 0 ? count + 1 : count;
    const pair = random.pick([QUARTER, QUARTER / 2]);
    return pitches(odd).map((pitch, i) => onsetAt(((i - (i % 2)) / 2) * pair + (i % 2) * 0.75 * pair, pitch));
  }
  const even = cause === 'pattern' || random.chance(0.6);
  let tick = 0;
  return pitches(count).map((pitch) => {
    const here = onsetAt(tick, pitch);
    tick += even || random.chance(0.7) ? unit : 2 * unit;
    return here;
  });
}

function onsetAt(tick: number, pitch: number): ExpectedOnset {
  return { tick, notes: [{ pitch, durationTicks: QUARTER / 4, part: 0, staff: 1, voice: 1 }] };
}

/** A melody in the right hand over a slower left hand. */
function twoStaves(random: Random, unit: number): ExpectedOnset[] {
  const count = random.integer(5, 12) * 2;
  return Array.from({ length: count }, (_, i) => {
    const high = { ...onsetAt(i * unit, random.integer(65, 84)).notes[0]! };
    const low = { ...high, pitch: random.integer(38, 55), staff: 2, voice: 2 };
    return { tick: i * unit, notes: i % 2 === 0 ? [low, high] : [high] };
  });
}
