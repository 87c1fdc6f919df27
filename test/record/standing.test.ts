import { describe, expect, it } from 'vitest';
import type { EntryHeading } from '../../src/record/entry.ts';
import { standingOf } from '../../src/record/standing.ts';
import { madeEntry } from './made-entry.ts';

const STEPS = ['one', 'two', 'three', 'four'].map((name) => ({ drill: 'landings', name }));

function takes(...told: readonly string[]): EntryHeading[] {
  return told.map((text, i) => {
    const [step = '', came] = text.split(' ');
    const index = STEPS.findIndex(({ name }) => name === step);
    return madeEntry(i + 1, {
      step: Math.max(0, index),
      stepName: step,
      onward: came === 'onward',
      end: came === 'skipped' ? 'skipped' : 'stopped',
      date: `2026-11-${20 + i}T19:00:00.000+01:00`,
    });
  });
}

describe('where a player stood', () => {
  it('is told of these steps alone, whatever was played meanwhile', () => {
    expect(standingOf(takes('one onward', 'two', 'whole', 'whole'), STEPS)).toEqual({
      next: 1,
      lastPassed: 0,
      skipped: [],
      tempoBpm: 72,
      day: '2026-11-21',
    });
  });

  it.each([
    ['nothing was played', [], undefined],
    ['the first step was still open', ['one', 'one'], { next: 0 }],
    ['a step was passed', ['one onward'], { next: 1, lastPassed: 0 }],
    ['a later step was being worked', ['one onward', 'two onward', 'three'], { next: 2, lastPassed: 1 }],
    ['a step was skipped', ['one onward', 'two skipped'], { next: 2, lastPassed: 0, skipped: [1] }],
    ['nothing but skipped steps lies before', ['one skipped', 'two skipped'], { next: 2, skipped: [0, 1] }],
    [
      'a step was skipped once and passed later',
      ['one skipped', 'one onward', 'two'],
      { next: 1, lastPassed: 0 },
    ],
    [
      'what lies before the skipped step was not passed',
      ['one onward', 'one', 'two skipped'],
      { next: 2, skipped: [1] },
    ],
    ['all was done', ['three onward', 'four onward'], { next: 4, lastPassed: 3 }],
    [
      'the player had gone back',
      ['one onward', 'two onward', 'one', 'one onward'],
      { next: 1, lastPassed: 0 },
    ],
    ['none was of these steps', ['whole', 'other'], undefined],
    ['a passed step was lost again by playing it', ['one onward', 'one', 'two'], { next: 1 }],
  ])('%s', (_, told, standing) => {
    const found = standingOf(takes(...told), STEPS);
    if (standing === undefined) expect(found).toBeUndefined();
    else
      expect(found).toEqual({ skipped: [], ...standing, tempoBpm: 72, day: `2026-11-${19 + told.length}` });
  });
});
