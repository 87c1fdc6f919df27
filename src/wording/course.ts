// What is told on the way through a course: what comes now and why, and what to do tomorrow.

import { type CourseDrill, isPassed, type Turn } from '../coaching/course.ts';
import { counted } from './counted.ts';

/** What a turn is, for before it. `names`: of its drill's steps. */
export function turnWords(turn: Turn, course: readonly CourseDrill[], names: readonly string[]): string {
  const time = `About ${counted(turn.minutes, 'minute')}`;
  if (turn.kind === 'context')
    return `${time} to end with: the passage with what comes before and after, without stopping.`;
  const { drill, passed } = course[turn.index]!;
  if (turn.kind === 'check')
    return `${drill.name} was passed another day: its last step once, clean, to see whether it held.`;
  if (passed === 0) return `${time} of ${drill.name}.`;
  const on = `${drill.name} at ${names[passed]}`;
  return turn.checks
    ? `${time}: on with ${on}, after ${names[passed - 1]} once, clean, to see whether it held.`
    : `${time}: on with ${on}.`;
}

/**
 * What to do the next day. `names`: of each drill's steps. `command` takes it up.
 */
export function tomorrowLines(
  course: readonly CourseDrill[],
  names: readonly (readonly string[])[],
  command: string,
): string[] {
  const told = course.map((one, i) => {
    const { drill, passed, steps } = one;
    if (isPassed(one)) return `  ${drill.name}: passed; its last step once, clean, as a check`;
    if (passed === 0)
      return `  ${drill.name}: ${one.day === undefined ? 'not begun' : `still at its first step, ${names[i]![0]}`}`;
    return `  ${drill.name}: ${passed} of ${steps} steps passed; first ${names[i]![passed - 1]} once, clean, as a check, then on at ${names[i]![passed]}`;
  });
  return [
    'Tomorrow:',
    ...told,
    ...(course.every(isPassed) ? ['  Then two run-throughs a little faster show what comes next.'] : []),
    `  ${command} does it in this order; fettle today looks at all passages.`,
  ];
}
