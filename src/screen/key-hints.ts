// Keys and what they do, as many as a line holds.

/** A key and what it does; the higher the rank, the sooner a narrow line does without it. */
export type Hint = readonly [text: string, rank: number];

/** As many hints as fit the width, whole and in order. */
export function fitHints(hints: readonly Hint[], width: number): string {
  let kept = hints;
  const line = () => kept.map(([text]) => text).join('  ');
  while (kept.length > 0 && line().length > width) {
    const last = Math.max(...kept.map(([, rank]) => rank));
    kept = kept.filter(([, rank]) => rank !== last);
  }
  return line();
}
