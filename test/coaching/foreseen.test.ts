// Snags foreseen from the fingers, and how evidence takes their place.

import { describe, expect, it } from 'vitest';
import { foreseenSnags, foreseenWeights } from '../../src/coaching/foreseen.ts';
import { findSnags, weighIntervals } from '../../src/coaching/snags.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { foreseenSentence } from '../../src/wording/fingering.ts';
import { line } from '../drills/line.ts';
import { evenTimes, type HandTake, handVerdict } from './hand-verdict.ts';

/** For a clarinet; its third interval goes over the break. */
const SPAN = wholeSpan(line('G4 A4 A#4 B4 A4 G4 F4 E4', { instrument: 'clarinet' }));

const CLEAN: HandTake = { times: evenTimes(8, 200), expectedMs: 200 };
const takes = (...all: readonly HandTake[]) => all.map((take) => ({ verdict: handVerdict(take) }));

describe('foreseen snags', () => {
  it('are the changes that ask most of the fingers, with the reason in words', () => {
    const foreseen = foreseenSnags(SPAN);
    expect(foreseen[0]).toMatchObject({ onset: 3 });
    expect(foreseenSentence(foreseen, SPAN)).toMatch(
      /^Hardest for the fingers: 1\. A#4 to B4, .*\(eight fingers at once over the break\); 2\. B4 to A4,/,
    );
  });

  it('are none on an instrument without a table, and none outside of the span', () => {
    const piano = wholeSpan(line('G4 A4 A#4 B4'));
    expect(foreseenSnags(piano)).toEqual([]);
    expect(foreseenWeights(piano)).toEqual([1, 1, 1]);
    expect(foreseenSentence([], piano)).toBeUndefined();
    expect(foreseenSnags({ ...SPAN, first: 5 }).map(({ onset }) => onset)).not.toContain(3);
  });

  it('name the same change once', () => {
    const again = wholeSpan(line('A4 B4 A4 B4 A4', { instrument: 'clarinet' }));
    expect(foreseenSnags(again).map(({ onset }) => onset)).toEqual([1, 2]);
  });

  it('weigh one on average', () => {
    const weights = foreseenWeights(SPAN);
    expect(weights).toHaveLength(7);
    expect(weights.reduce((sum, weight) => sum + weight, 0) / 7).toBeCloseTo(1);
    expect(weights[2]).toBe(Math.max(...weights));
  });

  it('are the prior: of two like findings the one with more to finger is surer', () => {
    const slip = (index: number): HandTake => ({
      times: evenTimes(8, 200).map((time, i) => (i === index ? 'wrong' : time)),
      expectedMs: 200,
    });
    const both = takes(slip(3), slip(6), CLEAN);
    const sureness = (foreseen?: readonly number[]) => {
      const all = weighIntervals(both, 8, 1, foreseen);
      return [all[2]!.confidence, all[5]!.confidence] as const;
    };
    const [hard, easy] = sureness(foreseenWeights(SPAN));
    const [plainHard, plainEasy] = sureness();
    expect(plainHard).toBeCloseTo(plainEasy, 1);
    expect(hard - easy).toBeGreaterThan(Math.abs(plainHard - plainEasy) + 0.02);
  });

  it('give way to evidence, and are no finding without any', () => {
    const slipped: HandTake = {
      times: evenTimes(8, 200).map((time, i) => (i === 6 ? 'wrong' : time)),
      expectedMs: 200,
    };
    const foreseen = foreseenWeights(SPAN);
    expect(findSnags(takes(slipped, slipped, slipped), 8, 1, foreseen)[0]).toMatchObject({ onset: 6 });
    expect(findSnags(takes(CLEAN, CLEAN, CLEAN), 8, 1, foreseen)).toEqual([]);
  });
});
