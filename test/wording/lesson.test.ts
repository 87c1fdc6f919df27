import { describe, expect, it } from 'vitest';
import { judgedWords } from '../../src/wording/lesson.ts';

const judged = (of: number, again: number, otherwise = 0, more = {}) =>
  judgedWords({ of, again, otherwise, earlier: 0, newer: 0, ...more });

describe('how the takes of a return were judged', () => {
  it('is told in a few words where all of them were judged again', () => {
    expect(judged(1, 1)).toBe('The take was judged again here.');
    expect(judged(87, 87)).toBe('All 87 takes were judged again here.');
    expect(judged(87, 87, 2)).toBe('All 87 takes were judged again here, 2 otherwise than they had been.');
  });

  it('says on whose judgement the others stand, and how the rest of them are had', () => {
    expect(judged(2000, 200)).toBe(
      '200 of 2000 takes were judged again here, all as they had been. The others stand as they came; --all judges every take.',
    );
    expect(judged(2000, 200, 3, { earlier: 1500, newer: 20 })).toBe(
      '200 of 2000 takes were judged again here, 3 otherwise than they had been. Of the others 1500 were judged by an earlier Fettle, 20 by a newer one: they stand as they came; --all judges every take.',
    );
    expect(judged(2000, 200, 0, { newer: 1800 })).toContain(
      'Of the others 1800 were judged by a newer Fettle: they stand as they came',
    );
  });

  it('advises to judge every take where many came out otherwise', () => {
    const advice = 'So many came out otherwise that it is worth it.';
    expect(judged(2000, 200, 20, { earlier: 1800 })).not.toContain(advice);
    expect(judged(2000, 200, 21, { earlier: 1800 })).toContain(advice);
  });
});
