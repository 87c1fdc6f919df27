import { describe, expect, it } from 'vitest';
import { nearWords } from '../../src/music/near-word.ts';

describe('near words', () => {
  it('come nearest first, and nothing far is guessed', () => {
    expect(nearWords('chian', ['through', 'chain', 'china'])).toEqual(['chain', 'china']);
    expect(nearWords('x', ['xylophone'])).toEqual([]);
    expect(nearWords('beet', ['beat', 'bar'])).toEqual(['beat']);
    expect(nearWords('switch', ['widening', 'switchback'])).toEqual(['switchback']);
    expect(nearWords('zzzzzz', ['chain'])).toEqual([]);
  });
});
