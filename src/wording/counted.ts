// Words that many sentences share.

/** The drill's name before the step's, unless the step's begins with it. */
export function stepTitle(drill: string, name: string): string {
  return name.startsWith(drill) ? name : `${drill}: ${name}`;
}

/** @example counted(1, 'take') // '1 take' */
export function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}

/** Text that may be empty, with its first letter a capital one. */
export function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** Text that may be empty, with its first letter a small one. */
export function lowered(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

/** @example asSentence('enter on beat 3') // 'Enter on beat 3.' */
export function asSentence(clause: string): string {
  return `${capitalised(clause)}.`;
}
