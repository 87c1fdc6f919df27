// A day that was typed.

import { usage } from './usage-problem.ts';

/** A day from text: 2027-03-14, one that there is. */
export function readDay(text: string): string {
  const time = /^\d{4}-\d\d-\d\d$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : Number.NaN;
  if (!Number.isNaN(time) && new Date(time).toISOString().startsWith(text)) return text;
  throw usage(
    'option.day',
    `Cannot use the day "${text}": year, month and day are needed`,
    'Such as 2027-03-14.',
  );
}
