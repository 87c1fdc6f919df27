// The last week in the sentences that a teacher would write in the pupil's book.

import type { DayOfPractice, IntervalProgress, Progress } from '../coaching/progress.ts';
import { counted } from './counted.ts';
import { percent } from './figures.ts';
import { intervalSentence, type ProgressNames } from './progress.ts';

/** `today`: day number; the week is that day and the six before it. */
export function weekSentences(progress: Progress, today: number, names: ProgressNames): string[] {
  const thisWeek = progress.days.filter(({ day }) => day > today - 7 && day <= today);
  const before = progress.days.filter(({ day }) => day <= today - 7);
  if (thisWeek.length === 0) {
    return [before.length === 0 ? 'Not worked yet.' : 'Not worked this week.'];
  }
  const takes = thisWeek.reduce((sum, day) => sum + day.takes, 0);
  const worst = progress.intervals.find(({ troubledShare }) => troubledShare > 0);
  return [
    `Worked on ${counted(thisWeek.length, 'day')} of seven, ${counted(takes, 'take')}${shareWords(thisWeek, before)}.`,
    ...tempoSentence(thisWeek, before),
    ...(worst ? [adviceOn(worst, names)] : []),
    ...(progress.skipped.length > 0
      ? [
          `Skipped: ${progress.skipped.map(({ drill, stepName }) => `${drill} ${stepName}`).join('; ')}. Come back to it.`,
        ]
      : []),
  ];
}

function shareWords(now: readonly DayOfPractice[], before: readonly DayOfPractice[]): string {
  const share = meanShare(now);
  const old = meanShare(before.slice(-7));
  if (share === undefined) return '';
  const was = old === undefined ? '' : `, before that ${percent(old)}`;
  return `; ${percent(share)} of the complete ones were clean${was}`;
}

function meanShare(days: readonly DayOfPractice[]): number | undefined {
  const known = days.flatMap(({ cleanShare, takes }) =>
    cleanShare === undefined ? [] : [{ cleanShare, takes }],
  );
  const takes = known.reduce((sum, day) => sum + day.takes, 0);
  return takes === 0 ? undefined : known.reduce((sum, day) => sum + day.cleanShare * day.takes, 0) / takes;
}

function tempoSentence(now: readonly DayOfPractice[], before: readonly DayOfPractice[]): string[] {
  const best = (days: readonly DayOfPractice[]) =>
    Math.max(0, ...days.map(({ inPiecesBpm, inOneGoBpm }) => Math.max(inPiecesBpm ?? 0, inOneGoBpm ?? 0)));
  const [is, was] = [Math.round(best(now)), Math.round(best(before))];
  if (is === 0) return ['It was not yet clean from end to end: slower, and shorter.'];
  if (was === 0) return [`Clean at ${is} a minute.`];
  if (is > was) return [`Clean at ${is} a minute, up from ${was}.`];
  if (is === was) return [`Clean at ${is} a minute, as before.`];
  return [`Clean at ${is} a minute; it has been ${was}: let it settle before it goes faster.`];
}

function adviceOn(worst: IntervalProgress, names: ProgressNames): string {
  const short = (worst.meanMicros ?? 0) < 0;
  const advice = short
    ? 'lean on its first note'
    : 'play it alone, slowly, then with one note more on each side';
  return `Most in need: ${intervalSentence(worst, names)}. For next week: ${advice}.`;
}
