import { describe, expect, it } from 'vitest';
import { distance, nearWords } from '../../src/drills/near-words.ts';

describe('near words', () => {
  it.each([
    // Worked examples of edit distance found in textbooks (from memory): Levenshtein 1966, Damerau 1964.
    ['kitten', 'sitting', 3],
    ['saturday', 'sunday', 3],
    ['ca', 'ac', 1],
    ['', 'abc', 3],
    ['same', 'same', 0],
  ])('%s and %s are %i changes apart', (a, b, changes) => {
    expect(distance(a, b)).toBe(changes);
    expect(distance(b, a)).toBe(changes);
  });

  it('come nearest first, and nothing far is guessed', () => {
    expect(nearWords('chian', ['through', 'chain', 'china'])).toEqual(['chain', 'china']);
    expect(nearWords('x', ['xylophone'])).toEqual([]);
    expect(nearWords('beet', ['beat', 'bar'])).toEqual(['beat']);
    expect(nearWords('zzzzzz', ['chain'])).toEqual([]);
  });
});
