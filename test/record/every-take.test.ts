// Every take that a session keeps can be read back: what a step, its terms and its verdict are made of and what the
// record's schema knows must not drift apart.

import { describe, expect, it } from 'vitest';
import { checkEntry } from '../../src/record/schema.ts';
import { foldTake } from '../../src/take/fold.ts';
import { planFor, simulate } from '../session/simulate.ts';

describe('the takes of a session', () => {
  it.each([
    ['landings', {}],
    ['landings', { ladder: '60-66', alternate: true }],
    ['switchback', {}],
    ['widening', { snag: '3' }],
    ['tenuto', { snag: '3' }],
    ['chain', {}],
    ['through', {}],
  ] as const)(
    'of %s %o are what the record takes, and give the same result again',
    async (drill, options) => {
      const place = 'onsets' in options ? {} : { bars: '1-2' };
      const plan = await planFor('slipway', { drill, ...place, ...options });
      const { record } = await simulate(plan, ['model:nervous,seed=3'], 2);
      const entries = record.entries();
      expect(entries.length).toBeGreaterThan(2);
      for (const entry of entries) {
        const read = checkEntry(JSON.parse(JSON.stringify(entry)));
        expect(read).toMatchObject({ ok: true });
        if (!read.ok || !entry.verdict) continue;
        expect(foldTake(read.value.playing!)).toEqual(foldTake(entry.playing!));
        expect(foldTake(read.value.playing!).clean).toBe(entry.clean);
      }
    },
  );
});
