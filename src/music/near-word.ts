// The word that was probably meant: the nearest by the optimal string alignment distance (Damerau 1964, CACM 7:171:
// one slip is a letter wrong, missing, added, or two swapped), at most one slip in three letters, never from one
// letter alone.

export function nearWord(text: string, words: readonly string[]): string | undefined {
  const typed = text.toLowerCase();
  if (typed.length < 2) return undefined;
  let best: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const word of words) {
    const distance = slips(typed, word.toLowerCase());
    if (distance <= Math.max(1, Math.floor(word.length / 3)) && distance < least) {
      best = word;
      least = distance;
    }
  }
  return best;
}

function slips(a: string, b: string): number {
  const rows = Array.from({ length: a.length + 1 }, (_, i) => [i, ...new Array<number>(b.length).fill(0)]);
  for (let j = 0; j <= b.length; j++) rows[0]![j] = j;
  for (let i = 1; i <= a.length; i++) {
    for (let j = 1; j <= b.length; j++) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1;
      let best = Math.min(rows[i - 1]![j]! + 1, rows[i]![j - 1]! + 1, rows[i - 1]![j - 1]! + cost);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        best = Math.min(best, rows[i - 2]![j - 2]! + 1);
      }
      rows[i]![j] = best;
    }
  }
  return rows[a.length]![b.length]!;
}
