// Quantising against simulated players with known truth (Wing & Kristofferson 1973: clock and motor variance). The
// players are ours, their truth is what they were given to play.

import { describe, expect, it } from 'vitest';
import { quantise } from '../../../src/notation/transcription/quantise.ts';
import { sample } from '../../sample.ts';
import { lots } from '../generated-passage.ts';
import { gaussian, play, type WrittenNote, writeCells } from '../simulated-player.ts';

const QUARTER = 10_080;
const FOUR = { count: 4, unit: 4 };

const STYLES: Readonly<Record<string, readonly string[]>> = {
  'eighths and sixteenths': ['plain', 'halves', 'halves', 'quarters', 'long-short-short', 'short-short-long'],
  triplets: ['plain', 'triplet', 'triplet', 'triplet', 'halves'],
  'duplets against triplets': [
    'plain',
    'halves',
    'quarters',
    'triplet',
    'long-short-short',
    'short-short-long',
  ],
  'dotted rhythms': ['plain', 'halves', 'dotted', 'dotted', 'quarters'],
  'long-short triplets': ['plain', 'long-short triplet', 'long-short triplet', 'triplet'],
  syncopations: ['plain', 'short-long-short', 'halves', 'short-dotted', 'quarters'],
  'rests of a half and a whole beat': [
    'plain',
    'half rest',
    'offbeat',
    'silence',
    'halves',
    'quarters',
    'triplet',
  ],
};

/** Right places and right lengths over many players at 60 to the minute with a motor SD of 20 ms. */
function shares(
  cells: readonly string[],
  players: number,
): { notes: number; places: number; lengths: number } {
  let [notes, places, lengths] = [0, 0, 0];
  for (let seed = 1; seed <= players; seed++) {
    const random = lots(seed * 7919);
    const names = ['plain', ...Array.from({ length: 23 }, () => cells[Math.floor(random() * cells.length)]!)];
    const written = writeCells(names, QUARTER, random);
    const played = play(written, {
      seed,
      bpm: 60,
      beatTicks: QUARTER,
      motorSdMicros: 20_000,
      clockSdMicros: 10_000,
      correction: 0.25,
      lagMicros: (random() * 80 - 60) * 1000,
      zeroMicros: 5_000_000,
    });
    const { onsets } = quantise(played, {
      tempo: { bpm: 60, beatTicks: QUARTER },
      meter: FOUR,
      zeroMicros: 5_000_000,
    });
    const read = new Map(
      onsets.flatMap((o) => o.notes.map((n) => [n.captured, { tick: o.tick, ...n }] as const)),
    );
    written.forEach((note, i) => {
      notes++;
      if (read.get(i)?.tick === note.tick) places++;
      if (read.get(i)?.durationTicks === note.durationTicks) lengths++;
    });
  }
  return { notes, places: places / notes, lengths: lengths / notes };
}

describe('quantising at 60 to the minute with a motor SD of 20 ms', () => {
  const players = sample(20, 3);

  it.each(Object.keys(STYLES))('has 99 in 100 notes right in %s', (style) => {
    const { notes, places, lengths } = shares(STYLES[style]!, players);
    expect(notes).toBeGreaterThan(35 * players);
    expect(places).toBeGreaterThanOrEqual(0.99);
    expect(lengths).toBeGreaterThanOrEqual(0.985);
  });

  it('is no better than its certainty says: nine in ten of those it calls 90 % sure or more are right', () => {
    let [sure, right] = [0, 0];
    for (let seed = 1; seed <= sample(12, 5); seed++) {
      const random = lots(seed * 104_729);
      const cells = ['plain', 'dotted', 'long-short triplet', 'sextuplet', 'halves', 'triplet'];
      const names = Array.from({ length: 24 }, () => cells[Math.floor(random() * cells.length)]!);
      const written = writeCells(names, QUARTER, random);
      const played = play(written, { seed, bpm: 60, beatTicks: QUARTER, motorSdMicros: 35_000 });
      const { onsets } = quantise(played, settings());
      for (const onset of onsets) {
        if (onset.certainty < 0.9) continue;
        sure++;
        if (written[onset.notes[0]!.captured]!.tick === onset.tick) right++;
      }
    }
    expect(sure).toBeGreaterThan(sample(200, 80));
    expect(right / sure).toBeGreaterThan(0.9);
  });
});

describe('quantising', () => {
  it('puts exact playing exactly where it is written, with every cell', () => {
    const names = [
      'plain',
      'halves',
      'quarters',
      'triplet',
      'sextuplet',
      'dotted',
      'offbeat',
      'triplet rest',
    ];
    const written = writeCells(names, QUARTER, lots(1));
    const { onsets, lagMicros, sdMicros } = quantise(perfect(written), settings());
    expect(onsets.map((o) => o.tick)).toEqual(written.map((n) => n.tick));
    expect(onsets.map((o) => o.notes[0]!.durationTicks)).toEqual(written.map((n) => n.durationTicks));
    expect(onsets.every((o) => o.certainty > 0.95)).toBe(true);
    expect(Math.abs(lagMicros)).toBeLessThan(3_000);
    expect(sdMicros).toBeLessThan(12_000);
  });

  it('finds a constant lag and takes it off', () => {
    const written = writeCells(Array(16).fill('halves'), QUARTER, lots(2));
    for (const lagMicros of [-80_000, -40_000, 60_000]) {
      const played = play(written, {
        seed: 3,
        bpm: 60,
        beatTicks: QUARTER,
        motorSdMicros: 10_000,
        lagMicros,
      });
      const found = quantise(played, settings());
      expect(found.onsets.map((o) => o.tick)).toEqual(written.map((n) => n.tick));
      expect(Math.abs(found.lagMicros - lagMicros)).toBeLessThan(8_000);
    }
  });

  it('follows a player who drifts from the tempo asked', () => {
    const written = writeCells(Array(32).fill('halves'), QUARTER, lots(2));
    for (const slower of [-0.02, 0.02]) {
      const played = play(written, { seed: 3, bpm: 60, beatTicks: QUARTER, motorSdMicros: 10_000, slower });
      const found = quantise(played, { ...settings(), pulse: 'free' });
      expect(found.onsets.map((o) => o.tick)).toEqual(written.map((n) => n.tick));
      expect(found.tempoBpm).toBeCloseTo(60 / (1 + slower), 0);
    }
  });

  it('takes notes struck together for a chord, in any order and spread over 30 ms', () => {
    const random = lots(11);
    const written = Array.from({ length: 16 }, (_, i) => ({
      tick: i * QUARTER,
      durationTicks: QUARTER,
      pitches: [40 + i, 60, 64 + (i % 3), 67],
    }));
    const played = play(written, {
      seed: 5,
      bpm: 60,
      beatTicks: QUARTER,
      motorSdMicros: 15_000,
      chordSpreadMicros: 30_000,
    }).sort(() => random() - 0.5);
    const { onsets } = quantise(played, settings());
    expect(onsets.map((o) => o.notes.map((n) => n.pitch))).toEqual(written.map((n) => n.pitches));
  });

  it('keeps a held bass under moving notes', () => {
    const notes = [
      { pitch: 48, onMicros: 0, offMicros: 3_700_000 },
      ...[0, 1, 2, 3].map((i) => ({
        pitch: 60 + i,
        onMicros: i * 1e6 + 4_000,
        offMicros: i * 1e6 + 900_000,
      })),
    ];
    const { onsets } = quantise(notes, settings());
    expect(onsets.map((o) => o.notes.map((n) => [n.pitch, n.durationTicks / QUARTER]))).toEqual([
      [
        [48, 4],
        [60, 1],
      ],
      [[61, 1]],
      [[62, 1]],
      [[63, 1]],
    ]);
  });

  it('takes detached playing for detached and not for rests', () => {
    const written = writeCells(Array(8).fill('plain'), QUARTER, lots(2));
    const played = play(written, {
      seed: 1,
      bpm: 60,
      beatTicks: QUARTER,
      motorSdMicros: 10_000,
      heldShare: 0.58,
      heldShareSd: 0.01,
    });
    const { onsets } = quantise(played, settings());
    expect(onsets.slice(0, -1).map((o) => o.notes[0]!.durationTicks)).toEqual(Array(7).fill(QUARTER));
  });

  it('leaves out a blip between two notes and says which', () => {
    const notes = [
      { pitch: 60, onMicros: 0, offMicros: 980_000 },
      { pitch: 61, onMicros: 982_000, offMicros: 1_004_000 },
      { pitch: 62, onMicros: 1_005_000, offMicros: 1_900_000 },
      { pitch: 64, onMicros: 2_000_000, offMicros: 2_900_000 },
    ];
    const { onsets, blips } = quantise(notes, settings());
    expect(blips).toEqual([1]);
    expect(onsets.map((o) => [o.tick / QUARTER, o.notes[0]!.pitch])).toEqual([
      [0, 60],
      [1, 62],
      [2, 64],
    ]);
  });

  it('gives a pickup before the first downbeat places before it', () => {
    const at = [-500_000, 0, 1_000_000, 1_500_000];
    const notes = at.map((t, i) => ({ pitch: 60 + i, onMicros: 5e6 + t, offMicros: 5e6 + t + 400_000 }));
    const { onsets } = quantise(notes, { ...settings(), zeroMicros: 5e6 });
    expect(onsets.map((o) => o.tick / QUARTER)).toEqual([-0.5, 0, 1, 1.5]);
  });

  it('divides the dotted beat of compound meter in three and six', () => {
    const beat = 15_120;
    const places = [
      0,
      1 / 3,
      2 / 3,
      1,
      5 / 3,
      2,
      2 + 1 / 6,
      2 + 2 / 6,
      2 + 3 / 6,
      2 + 4 / 6,
      2 + 5 / 6,
      3,
      3.5,
    ];
    const random = lots(4);
    const notes = places.map((p, i) => ({
      pitch: 60 + i,
      onMicros: Math.round(p * 1e6 + 15_000 * gaussian(random)),
      offMicros: Math.round(p * 1e6 + 140_000),
    }));
    const { onsets } = quantise(notes, {
      tempo: { bpm: 60, beatTicks: beat },
      meter: { count: 6, unit: 8 },
      zeroMicros: 0,
    });
    expect(onsets.map((o) => o.tick)).toEqual(places.map((p) => Math.round(p * beat)));
  });

  it('offers the next likely place where it is in doubt', () => {
    // Right between the last of a triplet and the last sixteenth: 2/3 is 667 ms, 3/4 is 750.
    const notes = [0, 708_000, 1_000_000].map((t, i) => ({
      pitch: 60 + i,
      onMicros: t,
      offMicros: t + 200_000,
    }));
    const [, doubtful] = quantise(notes, settings()).onsets;
    expect(doubtful!.certainty).toBeLessThan(0.9);
    const places = [doubtful!.tick, doubtful!.alternative!.tick].sort((a, b) => a - b);
    expect(places).toEqual([(QUARTER * 2) / 3, (QUARTER * 3) / 4]);
  });

  it('does not depend on where zero is or in which order the notes come', () => {
    const written = writeCells(['plain', 'quarters', 'triplet', 'dotted', 'halves'], QUARTER, lots(9));
    const played = play(written, { seed: 8, bpm: 60, beatTicks: QUARTER, motorSdMicros: 20_000 });
    const base = quantise(played, settings());
    const moved = played.map((n) => ({ ...n, onMicros: n.onMicros + 7e9, offMicros: n.offMicros! + 7e9 }));
    expect(quantise(moved, { ...settings(), zeroMicros: 7e9 })).toEqual(base);
    const places = (q: typeof base) => q.onsets.map((o) => o.tick);
    expect(places(quantise([...played].reverse(), settings()))).toEqual(places(base));
  });

  it('has an answer for one key struck again faster than anything can be written', () => {
    const notes = Array.from({ length: 40 }, (_, i) => ({
      pitch: 60,
      onMicros: 980_000 + i * 12_000,
      offMicros: 980_000 + i * 12_000 + 6_000,
    }));
    const { onsets, blips } = quantise(notes, settings());
    expect(onsets.reduce((sum, o) => sum + o.notes.length, 0) + blips.length).toBe(40);
  });

  it('has an answer for nothing, for noise, and for silence of days', () => {
    expect(quantise([], settings()).onsets).toEqual([]);
    const random = lots(1);
    const noise = Array.from({ length: 300 }, (_, i) => {
      const onMicros = Math.floor(random() * 2e6);
      return { pitch: 20 + (i % 90), onMicros, offMicros: onMicros + 5_000 };
    });
    const { onsets, blips } = quantise(noise, settings());
    expect(onsets.reduce((sum, o) => sum + o.notes.length, 0) + blips.length).toBe(300);
    const far = [0, 86_400e6 * 3].map((t) => ({ pitch: 60, onMicros: t, offMicros: t + 500_000 }));
    expect(quantise(far, settings()).onsets).toHaveLength(2);
  });
});

function settings() {
  return { tempo: { bpm: 60, beatTicks: QUARTER }, meter: FOUR, zeroMicros: 0 };
}

function perfect(written: readonly WrittenNote[]) {
  return play(written, { seed: 1, bpm: 60, beatTicks: QUARTER, motorSdMicros: 0, heldShareSd: 0 });
}
