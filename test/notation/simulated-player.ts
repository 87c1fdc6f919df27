// Players with known truth, seeded. Timing after Wing & Kristofferson 1973 (Perception & Psychophysics 14:5): a clock
// whose intervals vary, and a motor delay of its own for every strike, I = C + D' - D; with a click, part of the gap
// to it is corrected at every beat. Releases come at a share of the written length.

import type { CapturedNote } from '../../src/notation/transcription/strike.ts';
import { lots } from './generated-passage.ts';

export function gaussian(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

export interface WrittenNote {
  readonly tick: number;
  readonly durationTicks: number;
  readonly pitches: readonly number[];
}

export interface PlayerTraits {
  readonly seed: number;
  readonly bpm: number;
  readonly beatTicks: number;
  readonly motorSdMicros: number;
  /** Of one beat's interval. */
  readonly clockSdMicros?: number;
  readonly lagMicros?: number;
  /** Share of the gap to the click that is made good at each beat; 0 = plays without one. */
  readonly correction?: number;
  /** Share by which the player's own beat is longer than the click's. */
  readonly slower?: number;
  readonly chordSpreadMicros?: number;
  readonly heldShare?: number;
  readonly heldShareSd?: number;
  readonly zeroMicros?: number;
}

export function play(written: readonly WrittenNote[], traits: PlayerTraits): CapturedNote[] {
  const random = lots(traits.seed);
  const beatMicros = 60_000_000 / traits.bpm;
  const own = beatMicros * (1 + (traits.slower ?? 0));
  const zero = traits.zeroMicros ?? 0;
  // The clock's own beat times, one after another.
  const lastBeat =
    Math.ceil(Math.max(...written.map((n) => n.tick + n.durationTicks)) / traits.beatTicks) + 2;
  const beats: number[] = [traits.lagMicros ?? 0];
  for (let k = 1; k <= lastBeat; k++) {
    const gap = beats[k - 1]! - ((k - 1) * beatMicros + (traits.lagMicros ?? 0));
    const step = own + (traits.clockSdMicros ?? 0) * gaussian(random) - (traits.correction ?? 0) * gap;
    beats.push(beats[k - 1]! + step);
  }
  const felt = (tick: number) => {
    const at = tick / traits.beatTicks;
    const k = Math.floor(at);
    return beats[k]! + (at - k) * (beats[k + 1]! - beats[k]!);
  };
  return written.flatMap(({ tick, durationTicks, pitches }) => {
    const on = zero + felt(tick) + traits.motorSdMicros * gaussian(random);
    const share = (traits.heldShare ?? 0.88) + (traits.heldShareSd ?? 0.06) * gaussian(random);
    const length = Math.max(0.2, share) * durationTicks * (own / traits.beatTicks);
    return pitches.map((pitch) => {
      const onMicros = Math.round(on + (traits.chordSpreadMicros ?? 0) * (random() - 0.5));
      return { pitch, onMicros, offMicros: Math.round(onMicros + length) };
    });
  });
}

/** A rhythm of one beat, in parts of it; null is a rest. */
export type Cell = readonly (readonly [parts: number, of: number, rest?: 'rest'])[];

export const CELLS: Readonly<Record<string, Cell>> = {
  plain: [[1, 1]],
  halves: [
    [1, 2],
    [1, 2],
  ],
  quarters: [
    [1, 4],
    [1, 4],
    [1, 4],
    [1, 4],
  ],
  'short-short-long': [
    [1, 4],
    [1, 4],
    [1, 2],
  ],
  'long-short-short': [
    [1, 2],
    [1, 4],
    [1, 4],
  ],
  dotted: [
    [3, 4],
    [1, 4],
  ],
  'short-dotted': [
    [1, 4],
    [3, 4],
  ],
  'short-long-short': [
    [1, 4],
    [1, 2],
    [1, 4],
  ],
  triplet: [
    [1, 3],
    [1, 3],
    [1, 3],
  ],
  'long-short triplet': [
    [2, 3],
    [1, 3],
  ],
  'triplet rest': [
    [1, 3],
    [1, 3, 'rest'],
    [1, 3],
  ],
  sextuplet: [
    [1, 6],
    [1, 6],
    [1, 6],
    [1, 6],
    [1, 6],
    [1, 6],
  ],
  'half rest': [
    [1, 2],
    [1, 2, 'rest'],
  ],
  offbeat: [
    [1, 2, 'rest'],
    [1, 2],
  ],
  silence: [[1, 1, 'rest']],
};

/** A line of cells, one beat each; pitches wander. */
export function writeCells(names: readonly string[], beatTicks: number, random: () => number): WrittenNote[] {
  const written: WrittenNote[] = [];
  let pitch = 67;
  names.forEach((name, beat) => {
    let at = beat * beatTicks;
    for (const [parts, of, rest] of CELLS[name]!) {
      const length = (parts * beatTicks) / of;
      pitch = Math.min(84, Math.max(55, pitch + Math.round(random() * 8 - 4) || 2));
      if (!rest) written.push({ tick: at, durationTicks: length, pitches: [pitch] });
      at += length;
    }
  });
  return written;
}
