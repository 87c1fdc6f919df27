// Words that the screen and the plain lines share.

/** The drill's name before the step's, unless the step's begins with it. */
export function stepTitle(drill: string, name: string): string {
  return name.startsWith(drill) ? name : `${drill}: ${name}`;
}

/** @example counted(1, 'take') // '1 take' */
export function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}

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
