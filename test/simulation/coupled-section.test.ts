// [Wing2014] linear phase correction. What is checked follows from the equation by hand: with equal gains a among N
// players and no delay, the differences between players shrink by 1 - N a an onset; so they are stable below a = 2/N,
// and, fingers aside, least at a = 1/N, the optimum that the paper names for a quartet (0.25).

import { describe, expect, it } from 'vitest';
import { together } from '../../src/section/together.ts';
import { type CoupledPlayer, playCoupled } from '../../src/simulation/coupled-section.ts';
import { Random } from '../../src/simulation/random.ts';
import { sample } from '../sample.ts';

function section(size: number, gain: number, more: Partial<CoupledPlayer> = {}): CoupledPlayer[] {
  return Array.from({ length: size }, () => ({
    intervalMicros: 500_000,
    clockSdMicros: 10_000,
    motorSdMicros: 0,
    gains: Array(size).fill(gain),
    offsetMicros: 0,
    ...more,
  }));
}

function asynchronyMs(
  players: readonly CoupledPlayer[],
  { onsets = sample(4_000, 3_000), delayMicros = 0, seed = 1 } = {},
) {
  const times = playCoupled({ players, delayMicros, onsets }, new Random(seed));
  const found = together(
    times.map((own, i) => ({
      player: String(i),
      onsetMicrosByTick: new Map(own.map((micros, n) => [n, micros])),
    })),
  );
  return found.asynchronyMicros! / 1000;
}

describe('a coupled section', () => {
  it('has the spread that the equation gives', () => {
    // Differences d(n+1) = (1 - N a) d(n) + noise of variance 2 sd²: variance 2 sd² / (1 - (1 - N a)²).
    for (const [size, gain] of [
      [2, 0.25],
      [4, 0.1],
      [4, 0.4],
    ] as const) {
      const expected = Math.sqrt((2 * 10 ** 2) / (1 - (1 - size * gain) ** 2));
      expect(asynchronyMs(section(size, gain)) / expected).toBeCloseTo(1, 1);
    }
  });

  it('is most together at a gain of one over the number of players', () => {
    const gains = [0.05, 0.15, 0.25, 0.35, 0.45];
    const spreads = gains.map((gain) => asynchronyMs(section(4, gain)));
    expect(gains[spreads.indexOf(Math.min(...spreads))]).toBe(0.25);
  });

  it('falls apart above its bound of two over the number of players', () => {
    expect(asynchronyMs(section(4, 0.48), { onsets: 200 })).toBeLessThan(60);
    expect(asynchronyMs(section(4, 0.55), { onsets: 200 })).toBeGreaterThan(1_000);
  });

  it('comes back as the trio that it was made as, 30 to 50 ms apart', () => {
    // Recorded trios: [Rasch1979] 27 to 49 ms. Fingers alone, uncorrected: differences of sd times the root of two.
    for (const ms of [30, 40, 50]) {
      const players = section(3, 0, { clockSdMicros: 0, motorSdMicros: (1000 * ms) / Math.SQRT2 });
      expect(Math.abs(asynchronyMs(players) - ms)).toBeLessThan(1.5);
    }
  });

  it('tells a constant lead apart from asynchrony', () => {
    const players = section(2, 0, { clockSdMicros: 0 });
    const times = playCoupled(
      { players: [players[0]!, { ...players[1]!, offsetMicros: 20_000 }], delayMicros: 0, onsets: 20 },
      new Random(3),
    );
    const found = together(
      times.map((own, i) => ({
        player: 'AB'[i]!,
        onsetMicrosByTick: new Map(own.map((micros, n) => [n, micros])),
      })),
    );
    expect(found.pairs).toEqual([{ a: 'A', b: 'B', events: 20, leadMicros: -20_000, asynchronyMicros: 0 }]);
  });

  it('slows down where all hear one another late', () => {
    // Each onset is corrected by N - 1 distances of the delay: the interval grows by (N - 1) a delay.
    const players = section(3, 0.2, { clockSdMicros: 0 });
    const [first] = playCoupled({ players, delayMicros: 30_000, onsets: 50 }, new Random(1));
    expect((first!.at(-1)! - first![0]!) / 49).toBeCloseTo(500_000 + 2 * 0.2 * 30_000, 0);
  });
});
