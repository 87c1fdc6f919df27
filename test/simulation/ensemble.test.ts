// Simulated players who listen to one another. What is checked follows from the equation ([Wing2014], see
// coupled-section.test.ts): with equal gains a among N players and no delay, differences shrink by 1 - N a an onset.

import { describe, expect, it } from 'vitest';
import { together } from '../../src/section/together.ts';
import { playTogether } from '../../src/simulation/ensemble.ts';
import type { ModelTake } from '../../src/simulation/play-take.ts';
import { Random } from '../../src/simulation/random.ts';
import { mean } from '../../src/statistics.ts';

const BEAT = 400_000;

/** Onset k at tick k, so many microseconds from its beat. */
function member(offsets: readonly number[], gain: number, delayMicros = 0) {
  const take: ModelTake = {
    notes: offsets.map((micros, k) => ({
      pitch: 60,
      velocity: 80,
      onMicros: k * BEAT + micros,
      offMicros: k * BEAT + micros + 100_000,
    })),
    truth: {
      notes: offsets.map((_, onset) => ({ as: 'right' as const, onset, note: 0 })),
      slips: [],
      bent: [],
    },
  };
  return { coupling: { gain, delayMicros }, ticks: offsets.map((_, k) => k), take };
}

const onsetMs = (notes: ModelTake['notes']) => notes.map(({ onMicros }, k) => (onMicros - k * BEAT) / 1000);

describe('an ensemble', () => {
  it('without gains plays as each would alone', () => {
    const played = playTogether([member([0, 5_000, -3_000], 0), member([20_000, 20_000, 20_000], 0)]);
    expect(played.map(onsetMs)).toEqual([
      [0, 5, -3],
      [20, 20, 20],
    ]);
  });

  it('makes good the share of the distance that the gain says, onset by onset', () => {
    // 20 ms apart; each makes good a quarter, so the distance halves: 20, 10, 5, 2.5.
    const played = playTogether([member([0, 0, 0, 0], 0.25), member(Array(4).fill(20_000), 0.25)]).map(
      onsetMs,
    );
    expect(played[1]!.map((ms, k) => ms - played[0]![k]!)).toEqual([20, 10, 5, 2.5]);
    expect(played[0]).toEqual([0, 5, 7.5, 8.75]);
  });

  it('one who does not listen is followed and follows nobody', () => {
    const [leader, follower] = playTogether([
      member([0, 0, 0, 0], 0),
      member(Array(4).fill(16_000), 0.5),
    ]).map(onsetMs);
    expect(leader).toEqual([0, 0, 0, 0]);
    expect(follower).toEqual([16, 8, 4, 2]);
  });

  it('waits for what it hears late: with a delay all get slower', () => {
    const played = playTogether([
      member(Array(20).fill(0), 0.2, 30_000),
      member(Array(20).fill(0), 0.2, 30_000),
      member(Array(20).fill(0), 0.2, 30_000),
    ]).map(onsetMs);
    // Two others, each heard 30 ms late, a fifth of it made good: 12 ms an onset.
    expect(played[0]!.at(-1)).toBeCloseTo(19 * 12, 6);
  });

  it('has the spread that the equation gives', () => {
    const random = new Random(4, 0);
    const walk = (onsets: number) => {
      let at = 0;
      return Array.from({ length: onsets }, () => {
        at += random.normal(0, 10_000);
        return at;
      });
    };
    const played = playTogether(Array.from({ length: 3 }, () => member(walk(4_000), 0.2)));
    const found = together(
      played.map((notes, i) => ({
        player: String(i),
        onsetMicrosByTick: new Map(notes.map(({ onMicros }, k) => [k, onMicros])),
      })),
    );
    const expected = Math.sqrt((2 * 10 ** 2) / (1 - (1 - 3 * 0.2) ** 2));
    expect(found.asynchronyMicros! / 1000 / expected).toBeCloseTo(1, 1);
    expect(Math.abs(mean(found.pairs.map(({ leadMicros }) => leadMicros)))).toBeLessThan(1_500);
  });
});
