// Words near to one that is not known, for "did you mean". Distance: optimal string alignment (Damerau 1964,
// restricted to one edit per substring): insertions, deletions, replacements and swaps of neighbours cost 1.

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

/** @example distance('landigns', 'landings') // 1 */
export function distance(a: string, b: string): number {
  const rows: number[][] = [Array.from({ length: b.length + 1 }, (_, j) => j)];
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const replaced = rows[i - 1]![j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      let least = Math.min(rows[i - 1]![j]! + 1, row[j - 1]! + 1, replaced);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (swapped) least = Math.min(least, rows[i - 2]![j - 2]! + 1);
      row.push(least);
    }
    rows.push(row);
  }
  return rows[a.length]![b.length]!;
}
