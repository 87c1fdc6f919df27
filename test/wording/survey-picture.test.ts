import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Snag } from '../../src/coaching/difficulty.ts';
import { SNAG_MARKS, surveyList, surveyPicture } from '../../src/wording/survey-picture.ts';
import { runInFour } from '../coaching/tidewrack.ts';

const SNAGS: readonly Snag[] = [
  { onset: 7, kinds: ['rushed', 'blips'], deviationMicros: -34_200, confidence: 0.999, weight: 0.9 },
  { onset: 20, kinds: ['hesitant'], deviationMicros: 0, confidence: 0.7, weight: 0.5 },
  { onset: 21, kinds: ['wrong notes'], deviationMicros: 0, confidence: 0.31, weight: 0.1 },
];

describe('the picture of a survey', () => {
  it('shows bars, beats, marks and places, and says what the marks mean', () => {
    // Our own drawing, pinned for stability; what it must hold is in the tests below.
    expect(surveyPicture(SNAGS, runInFour(26), 40)).toEqual([
      'bar 1    bar 2    bar 3    4',
      "|' ' ' ' |' ' ' ' |' ' ' ' |'|",
      '|......<.|........|...!x...|.|',
      '       1              23',
      '. in order   < rushed   ! hesitant',
      "x wrong notes   ' beat",
    ]);
  });

  it('names each snag as the player reads it, with its place, what it is and how sure', () => {
    expect(surveyList(SNAGS, runInFour(26))).toEqual([
      '1. B4 to C5, bar 1 beat 4: rushed by 34 ms, blips (sure, 99 %)',
      '2. A4 to B4, bar 3 after beat 2: a stop before it (likely, 70 %)',
      '3. B4 to C5, bar 3 beat 3: wrong notes (perhaps, 31 %)',
    ]);
  });

  it('has a mark of its own for each kind of trouble', () => {
    expect(new Set(Object.values(SNAG_MARKS)).size).toBe(Object.keys(SNAG_MARKS).length);
    expect(Object.values(SNAG_MARKS).every((mark) => mark.length === 1 && mark !== '.')).toBe(true);
  });

  it('fits any width, shows each interval once and each snag in its place', () => {
    const kinds = Object.keys(SNAG_MARKS) as (keyof typeof SNAG_MARKS)[];
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 140 }),
        fc.integer({ min: 20, max: 160 }),
        fc.integer({ min: 1, max: 8 }),
        fc.uniqueArray(fc.nat(), { maxLength: 12 }),
        fc.constantFrom(...kinds),
        (count, columns, perBeat, places, kind) => {
          const span = runInFour(count, perBeat);
          const onsets = [...new Set(places.map((place) => 1 + (place % (count - 1))))];
          const snags = onsets.map((onset) => ({
            onset,
            kinds: [kind],
            deviationMicros: 0,
            confidence: 0.9,
            weight: 0.5,
          }));
          const picture = surveyPicture(snags, span, columns);
          for (const line of picture) expect([...line].length).toBeLessThanOrEqual(columns);
          const drawn = picture.filter((line, i) => i % 4 === 2 && line.startsWith('|')).join('');
          const marks = drawn.replaceAll('|', '').replaceAll(' ', '');
          expect(marks).toHaveLength(count - 1);
          const shown = [...marks].flatMap((mark, i) => (mark === '.' ? [] : [i + 1]));
          expect(shown).toEqual(onsets.slice(0, 9).toSorted((a, b) => a - b));
        },
      ),
      { numRuns: 200 },
    );
  });
});
