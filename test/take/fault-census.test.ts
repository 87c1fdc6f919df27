import { describe, expect, it } from 'vitest';
import { sample } from '../sample.ts';
import { censusOf } from './fault-census.ts';

describe('a take of any drill, at every size of step', () => {
  it('with one fault is never called clean, and within half of the tolerance always', async () => {
    const census = await censusOf(sample(4000, 96), sample(2000, 40), 900);
    for (const { fault, takes, wrong } of census) {
      expect(takes, fault).toBeGreaterThan(10);
      expect(wrong, fault).toEqual([]);
    }
  });
});
