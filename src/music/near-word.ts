// Words near to one that is not known, for "did you mean": several where several are near, and a known word of which
// only the beginning was typed. Levenshtein distance from fastest-levenshtein.

import { distance } from 'fastest-levenshtein';

/** At most so many changes, and never more than half of the word: a guess further off is no help. */
const FARTHEST = 3;

/** Known words near to `word`, the nearest first; a beginning of a known word is near too. */
export function nearWords(word: string, known: readonly string[]): readonly string[] {
  const asked = word.toLowerCase();
  if (asked.length < 2) return [];
  const changes = (one: string) =>
    one.toLowerCase().startsWith(asked) ? 0 : distance(asked, one.toLowerCase());
  return known
    .map((one) => ({ one, changes: changes(one) }))
    .filter((near) => near.changes <= FARTHEST && near.changes * 2 <= Math.max(asked.length, near.one.length))
    .sort((a, b) => a.changes - b.changes)
    .map((near) => near.one);
}

/** The nearest of them. */
export function nearWord(word: string, known: readonly string[]): string | undefined {
  return nearWords(word, known)[0];
}
