// Words near to one that is not known, for "did you mean": several where several are near, and a known word of which
// only the beginning was typed. Levenshtein distance from fastest-levenshtein.

import { distance } from 'fastest-levenshtein';

/** At most so many changes, and never half of the word or more: a guess further off is no help. */
const FARTHEST = 3;

/** Known words near to `word`, the nearest first; a beginning of a known word is near too. */
export function nearWords(word: string, known: readonly string[]): readonly string[] {
  const asked = word.toLowerCase();
  if (asked.length < 2) return [];
  return known
    .map((candidate) => ({
      candidate,
      distance: candidate.startsWith(asked) ? 0 : distance(asked, candidate),
    }))
    .filter(
      (near) =>
        near.distance <= FARTHEST && near.distance * 2 < Math.max(asked.length, near.candidate.length),
    )
    .sort((a, b) => a.distance - b.distance)
    .map((near) => near.candidate);
}
