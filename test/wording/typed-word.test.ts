import { execFileSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { typedWord } from '../../src/wording/typed-word.ts';

const WORDS = [
  'slipway',
  'm/hands.abc',
  'book.abc#2',
  'Harbour Steps.abc',
  'Clarinet in Bb',
  "Oda's tune.abc",
  'two "tides".abc',
  'price $5 (new).abc',
  '#1.abc',
  'Éléonore.abc',
  'a\\b c',
  '',
];

describe('a word as it is typed', () => {
  it.each(WORDS)('is the same word to a shell: %s', (word) => {
    // The shell of POSIX (sh) says what it makes of it.
    expect(execFileSync('sh', ['-c', `printf %s ${typedWord(word)}`], { encoding: 'utf8' })).toBe(word);
  });

  it('is left alone where nothing needs quotes', () => {
    for (const word of ['slipway', 'm/hands.abc', 'book.abc#2', 'Éléonore.abc', '3.2-4.1'])
      expect(typedWord(word)).toBe(word);
  });
});
