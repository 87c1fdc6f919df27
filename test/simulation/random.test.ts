import { mean, sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { Random } from '../../src/simulation/random.ts';

describe('chance', () => {
  it('gives the published first outputs of PCG32', () => {
    // pcg32-demo of O'Neill's reference implementation (pcg-random.org), seeded (42, 54), "Round 1, 32bit".
    const random = new Random(42, 54);
    const first = Array.from({ length: 6 }, () => random.bits32());
    expect(first).toEqual([0xa15c02b7, 0x7b47f409, 0xba1d3330, 0x83d2f293, 0xbfa4784b, 0xcbed606e]);
  });

  it('agrees with a plain 64-bit calculation for any seed and stream', () => {
    for (const [seed, stream] of [
      [0, 0],
      [7, 1],
      [2 ** 40 + 12345, 3],
      [Number.MAX_SAFE_INTEGER, 2 ** 33 + 5],
    ] as const) {
      const random = new Random(seed, stream);
      const reference = bigIntPcg32(BigInt(seed), BigInt(stream));
      for (let i = 0; i < 200; i++) expect(random.bits32()).toBe(reference());
    }
  });

  it('draws normal numbers of the asked mean and spread, and shaped like a bell', () => {
    const random = new Random(3);
    const drawn = Array.from({ length: 20_000 }, () => random.normal(5, 2));
    expect(mean(drawn)).toBeCloseTo(5, 1);
    expect(sampleStandardDeviation(drawn)).toBeCloseTo(2, 1);
    // Shares within one, two and three SDs of the normal distribution: 68.27, 95.45, 99.73 % (any table).
    const within = (sds: number) => drawn.filter((x) => Math.abs(x - 5) <= sds * 2).length / drawn.length;
    expect(Math.abs(within(1) - 0.6827)).toBeLessThan(0.012);
    expect(Math.abs(within(2) - 0.9545)).toBeLessThan(0.006);
    expect(Math.abs(within(3) - 0.9973)).toBeLessThan(0.002);
  });

  it('includes both ends of whole numbers, and picks by weight', () => {
    const random = new Random(9);
    const dice = Array.from({ length: 600 }, () => random.integer(1, 6));
    expect([...new Set(dice)].sort()).toEqual([1, 2, 3, 4, 5, 6]);
    const picks = Array.from({ length: 4000 }, () =>
      random.pickByWeight([
        ['often', 3],
        ['seldom', 1],
        ['never', 0],
      ]),
    );
    expect(picks).not.toContain('never');
    expect(Math.abs(picks.filter((p) => p === 'often').length / 4000 - 0.75)).toBeLessThan(0.03);
  });
});

/** The algorithm as its author writes it, in arbitrary integers. */
function bigIntPcg32(seed: bigint, stream: bigint): () => number {
  const mask = (1n << 64n) - 1n;
  const increment = ((stream << 1n) | 1n) & mask;
  let state = 0n;
  const step = () => {
    state = (state * 6364136223846793005n + increment) & mask;
  };
  step();
  state = (state + seed) & mask;
  step();
  return () => {
    const old = state;
    step();
    const word = (((old >> 18n) ^ old) >> 27n) & 0xffffffffn;
    const turn = old >> 59n;
    return Number(((word >> turn) | (word << (-turn & 31n))) & 0xffffffffn);
  };
}
