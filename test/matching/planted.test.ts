// Slips planted one at a time in invented lines, wind-like: legato overlap, uneven time, short blips. What was planted
// must be found, and nothing else. Lines and player are ours, so this shows only that people who slip as we think they do
// are understood; real performances are measured outside the tests.

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import type { Alignment } from '../../src/matching/alignment.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import { alignmentSoFar, passTime } from '../../src/matching/follow.ts';
import { drawnExpectation, followAll, playWith } from './drawn.ts';
import { verdicts } from './takes.ts';

type Planted = 'none' | 'wrong' | 'missed' | 'added' | 'blip' | 'hesitated' | 'restart';

const LINES = fc
  .sample(drawnExpectation(), { seed: 1973, numRuns: 1500 })
  .filter((e) => e.onsets.length >= 8 && e.onsets.every((o) => o.notes.length === 1))
  .slice(0, 100);
const UNEVEN = fc.sample(fc.integer({ min: -12, max: 12 }), { seed: 7, numRuns: 20 });

/** Says whether an alignment tells what was planted at an onset and no more. */
const TOLD: Record<Planted, (a: Alignment, e: Expectation, at: number) => boolean> = {
  none: ({ notes, extras }) => /^r+$/.test(verdicts(notes)) && extras.length === 0,
  hesitated: (a, e, at) => TOLD.none(a, e, at),
  wrong: ({ notes, extras }, e, at) =>
    verdicts(notes) === `${'r'.repeat(at)}w${'r'.repeat(e.onsets.length - at - 1)}` && extras.length === 0,
  missed: ({ notes, extras }, e, at) => {
    const missed = notes.filter((n) => n.verdict === 'missed');
    const pitch = (onset: number): number | undefined => e.onsets[onset]?.notes[0]?.pitch;
    // Which of two neighbours of one pitch is missing nobody can say.
    const there = missed.length === 1 && pitch(missed[0]!.onset) === pitch(at);
    return there && Math.abs(missed[0]!.onset - at) <= 1 && extras.length === 0;
  },
  added: ({ notes, extras }) => /^r+$/.test(verdicts(notes)) && extras.map((x) => x.kind).join() === 'extra',
  blip: ({ notes, extras }) => /^r+$/.test(verdicts(notes)) && extras.map((x) => x.kind).join() === 'blip',
  restart: ({ notes, extras }) =>
    /^r+$/.test(verdicts(notes)) && extras.map((x) => x.kind).join() === 'restart,restart',
};

function share(
  kind: Planted,
  match: (e: Expectation, played: ReturnType<typeof playWith>) => Alignment,
): number {
  let told = 0;
  for (const [k, expectation] of LINES.entries()) {
    const at = 3 + (k % (expectation.onsets.length - 5));
    const slips: Planted[] = expectation.onsets.map((_, i) => (i === at ? kind : 'none'));
    const played = playWith(expectation, slips, UNEVEN);
    if (TOLD[kind](match(expectation, played), expectation, at)) told++;
  }
  return told / LINES.length;
}

describe('a planted slip', () => {
  for (const kind of Object.keys(TOLD) as Planted[]) {
    it(`(${kind}) is found when the take is over, and nothing else`, () => {
      expect(LINES).toHaveLength(100);
      expect(share(kind, align)).toBeGreaterThanOrEqual(0.97);
    });

    it(`(${kind}) is found by following too`, () => {
      const followed = share(kind, (e, played) => alignmentSoFar(passTime(followAll(e, played), 1e10)));
      expect(followed).toBeGreaterThanOrEqual(0.95);
    });
  }
});
