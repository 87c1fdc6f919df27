// Progress in words and in a drawing of plain characters, for a terminal of 80 columns.

import { dateOf } from '../coaching/due.ts';
import type { Outlook } from '../coaching/outlook.ts';
import type { DayOfPractice, IntervalProgress, Progress } from '../coaching/progress.ts';
import type { Passage } from '../music/passage.ts';
import { counted } from './counted.ts';
import { lengthWords, percent } from './figures.ts';
import { intervalName } from './interval-name.ts';

export interface ProgressNames {
  readonly title: string;
  /** "A#4 to B4", by the onset where the interval begins. */
  readonly interval: (from: number) => string;
}

export function progressNames(passage: Passage): ProgressNames {
  return { title: passage.title, interval: (from) => intervalName(passage, from) };
}

const BAR_COLUMNS = 44;
const WORST_INTERVALS = 5;
const LAST_DAYS = 14;

export function progressLines(progress: Progress, outlook: Outlook, names: ProgressNames): string[] {
  const { takes, days, drills, skipped } = progress;
  if (takes === 0) return [`${names.title}: nothing has been played yet.`];
  return [
    `${names.title}: ${shareWords(progress.cleanShare)}, ${counted(takes, 'take')} on ${counted(days.length, 'day')}.`,
    '',
    ...dayLines(days, outlook),
    '',
    ...outlookSentences(outlook),
    '',
    ...intervalLines(progress, names),
    '',
    'What was practised:',
    ...drills.map(({ drill, takes: own, cleanTakes, fastestCleanBpm }) => {
      const fastest = fastestCleanBpm === undefined ? 'never clean' : `clean up to ${tempo(fastestCleanBpm)}`;
      return `  ${drill.padEnd(11)} ${String(own).padStart(5)} ${own === 1 ? 'take, ' : 'takes,'} ${cleanTakes} clean, ${fastest}`;
    }),
    ...(skipped.length === 0
      ? []
      : [
          `Skipped: ${skipped
            .slice(0, WORST_INTERVALS)
            .map(
              ({ drill, stepName, times }) => `${drill} ${stepName}${times > 1 ? ` (${times} times)` : ''}`,
            )
            .join('; ')}.`,
        ]),
  ];
}

/** @example shareWords(0.684) // '68 % of the complete takes were clean' */
export function shareWords(share: number | undefined): string {
  return share === undefined ? 'no complete take yet' : `${percent(share)} of the complete takes were clean`;
}

function dayLines(days: readonly DayOfPractice[], { goal }: Outlook): string[] {
  const shown = days.slice(-LAST_DAYS);
  const most = Math.max(goal?.tempoBpm ?? 0, ...shown.map(fastest));
  if (most === 0) return ['No clean take yet.'];
  const column = (bpm: number) => Math.max(1, Math.round((BAR_COLUMNS * bpm) / most));
  return [
    `Clean tempo by day: = every interval, somewhere; o all of it in one go${goal ? '; | the goal' : ''}`,
    ...shown.map((day) => {
      const cells = Array<string>(BAR_COLUMNS + 1).fill(' ');
      if (day.inPiecesBpm !== undefined) cells.fill('=', 0, column(day.inPiecesBpm));
      if (day.inOneGoBpm !== undefined) cells[column(day.inOneGoBpm) - 1] = 'o';
      if (goal) cells[column(goal.tempoBpm)] = '|';
      const figure = fastest(day) === 0 ? 'not clean all through' : tempo(fastest(day));
      return `${dateOf(day.day)} ${cells.join('')} ${figure}`.trimEnd();
    }),
    ...(days.length > LAST_DAYS ? [`(${days.length - LAST_DAYS} earlier days are left out)`] : []),
  ];
}

function fastest({ inPiecesBpm, inOneGoBpm }: DayOfPractice): number {
  return Math.max(inPiecesBpm ?? 0, inOneGoBpm ?? 0);
}

/** What is to be expected, honest about too little. */
export function outlookSentences({ goal, forecast, chance, daysMissing, dueDay, today }: Outlook): string[] {
  const sentences: string[] = [];
  if (goal) {
    const by = `by ${goal.by}`;
    if (forecast) {
      const { bpm, lowBpm, highBpm } = forecast;
      sentences.push(
        `The way it goes, ${tempo(bpm)} ${by}, ${tempo(lowBpm)} to ${tempo(highBpm)} in eight cases of ten; the goal of ${tempo(goal.tempoBpm)} has a chance ${chanceWords(chance ?? 0)}.`,
      );
    } else if (daysMissing !== undefined && daysMissing > 0) {
      sentences.push(
        `The goal is ${tempo(goal.tempoBpm)} ${by}. What to expect cannot be said yet: ${counted(daysMissing, 'more day')} with a clean tempo ${daysMissing === 1 ? 'is' : 'are'} needed.`,
      );
    } else
      sentences.push(
        `The goal is ${tempo(goal.tempoBpm)} ${by}: too far from the days so far to be foretold.`,
      );
  }
  if (dueDay !== undefined) {
    const days = dueDay - today;
    sentences.push(
      days > 1
        ? `It is due again in ${days} days.`
        : days === 1
          ? 'It is due again tomorrow.'
          : days === 0
            ? 'It is due today.'
            : `It has been due for ${counted(-days, 'day')}.`,
    );
  }
  return sentences;
}

function intervalLines(progress: Progress, names: ProgressNames): string[] {
  const worst = progress.intervals.filter(({ troubledShare }) => troubledShare > 0).slice(0, WORST_INTERVALS);
  if (worst.length === 0) return ['No interval has gone wrong.'];
  return [
    `What goes wrong most${latelyWords(progress)}:`,
    ...worst.map((one) => `  ${intervalSentence(one, names)}`),
  ];
}

/** From which takes intervals are told, where not from all. */
export function latelyWords({ intervalTakes }: Progress): string {
  return intervalTakes === undefined ? '' : `, in the latest ${counted(intervalTakes, 'take')}`;
}

/** @example 'A#4 to B4, onset 10: 40 % of 52 takes, lately 25 %: better; 18 ms short' */
export function intervalSentence(one: IntervalProgress, names: ProgressNames): string {
  const { from, takes, troubledShare, earlierShare, laterShare, meanMicros } = one;
  const change = laterShare - earlierShare;
  const way = takes < 6 || Math.abs(change) < 0.1 ? '' : change < 0 ? ': better' : ': worse';
  const length = lengthWords(meanMicros);
  const timing = length === undefined ? '' : `; ${length} on average`;
  return `${names.interval(from)}, onset ${from}: ${percent(troubledShare)} of ${counted(takes, 'take')}, lately ${percent(laterShare)}${way}${timing}`;
}

/** Nothing is certain, in either direction. */
function chanceWords(chance: number): string {
  if (chance < 0.01) return 'under 1 %';
  return chance > 0.99 ? 'over 99 %' : `of ${percent(chance)}`;
}

/** Tempi in whole beats a minute. */
function tempo(bpm: number): string {
  return String(Math.round(bpm));
}
