// The word that was probably meant. Optimal string alignment distance (Damerau 1964, CACM 7:171, restricted to
// non-overlapping transpositions): one letter changed, added, left out or two neighbours swapped count as one.

/** The nearest of the words, when no more than a third of its letters (and at least one) need to change. */
export function nearWord(text: string, words: readonly string[]): string | undefined {
  let best: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const word of words) {
    const changes = letterChanges(text.toLowerCase(), word);
    if (changes < least) [best, least] = [word, changes];
  }
  return best !== undefined && least <= Math.max(1, Math.floor(best.length / 3)) ? best : undefined;
}

export function letterChanges(a: string, b: string): number {
  const rows: number[][] = [Array.from({ length: b.length + 1 }, (_, j) => j)];
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let least = Math.min(rows[i - 1]![j]! + 1, row[j - 1]! + 1, rows[i - 1]![j - 1]! + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        least = Math.min(least, rows[i - 2]![j - 2]! + 1);
      }
      row.push(least);
    }
    rows.push(row);
  }
  return rows[a.length]![b.length]!;
}
