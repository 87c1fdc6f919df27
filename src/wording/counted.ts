// Words that many sentences share.

/** The drill's name before the step's, unless the step's begins with it. */
export function stepTitle(drill: string, name: string): string {
  return name.startsWith(drill) ? name : `${drill}: ${name}`;
}

/** @example counted(1, 'take') // '1 take' */
export function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}
