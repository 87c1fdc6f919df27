// [Rasch1979] Rasch, Synchronization in performed ensemble music, Acustica 43:121-131: asynchrony of a pair is the
// standard deviation of its onset differences, of an ensemble the root mean square over pairs (definition from memory).

import { expect, it } from 'vitest';
import type { PlayerOnsets } from '../../src/section/player-onsets.ts';
import { together } from '../../src/section/together.ts';

/** Onset k at tick k, milliseconds from its beat. */
function player(name: string, ms: readonly number[]): PlayerOnsets {
  return {
    player: name,
    onsetMicrosByTick: new Map(ms.map((one, k) => [k, 1_000_000 * k + 1000 * one])),
  };
}

it('a section of three: the worked example', () => {
  const section = together([
    player('A', [0, 0, 0, 0]),
    player('B', [10, -10, 10, -10]),
    player('C', [20, 20, 20, 20]),
  ]);
  const pairs = Object.fromEntries(
    section.pairs.map((pair) => [pair.a + pair.b, [pair.asynchronyMicros / 1000, pair.leadMicros / 1000]]),
  );
  // Worked by hand: SD(A-B) = 10, SD(A-C) = 0, SD(B-C) = 10, and their root mean square.
  expect(pairs).toEqual({ AB: [10, 0], AC: [0, -20], BC: [10, -20] });
  expect(section.asynchronyMicros! / 1000).toBeCloseTo(8.165, 3);
});
