import { expect, it } from 'vitest';
import { folded } from '../../src/commands/folded.ts';

it('breaks a line by the cells that it takes, between words, as deep as it begins', () => {
  const title = '夜明け 夜明け';
  expect(folded(title, 13)).toBe(title);
  expect(folded(title, 12)).toBe('夜明け\n夜明け');
  expect(folded('  one two', 5)).toBe('  one\n  two');
});
