// The word that was probably meant, for hints. Levenshtein distance from fastest-levenshtein.

import { distance } from 'fastest-levenshtein';

/** The nearest of the words, when no more than a third of its letters (and at least one) would have to change. */
export function nearWord(text: string, words: readonly string[]): string | undefined {
  const ranked = words
    .map((word) => ({ word, changes: distance(text.toLowerCase(), word.toLowerCase()) }))
    .sort((a, b) => a.changes - b.changes);
  const [best] = ranked;
  return best && best.changes <= Math.max(1, Math.floor(best.word.length / 3)) ? best.word : undefined;
}
