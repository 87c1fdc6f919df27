// Words that the screen and the plain lines share.

/** A drill with one step names it once. */
export function stepTitle(drill: string, name: string): string {
  return drill === name ? drill : `${drill}: ${name}`;
}

/** @example counted(1, 'take') // '1 take' */
export function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}
