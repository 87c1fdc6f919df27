// Today's plan in words: what, for how long, and why.

import type { Slice, Task, TaskLadder, Work, WorkSlice } from '../coaching/today.ts';
import { settingsTexts } from '../drills/settings-text.ts';
import { USUAL_UP } from '../record/ladder-plan.ts';
import { counted } from './counted.ts';
import { percent } from './figures.ts';
import { typedWord } from './typed-word.ts';

/** Options of `fettle work`, by their names there. */
export type TaskOptions = Readonly<Record<string, string | true>> & { readonly onsets: string };

/** A task as the options that work it. */
export function taskOptions(task: Task): TaskOptions {
  const { first, last, tempoBpm, ladder, snag, settings } = task;
  const row = rowOf(task);
  const snags = snag === undefined ? {} : { snags: [snag] };
  return {
    onsets: `${first}-${last}`,
    drill: row.join(','),
    ...settingsTexts(row, { ...settings, ...snags }),
    ...(ladder ? ladderOptions(ladder) : { tempo: `${tempoBpm}` }),
  };
}

/** The drill, or those that it is worked in a row with. */
function rowOf({ drill, settings }: Task): readonly string[] {
  return settings?.row ?? [drill];
}

function ladderOptions({
  by,
  startBpm,
  goalBpm,
  up,
  jump,
  alternate,
}: TaskLadder): Record<string, string | true> {
  return {
    ladder: `${startBpm}-${goalBpm}`,
    ...(by === 'step' ? { stepByStep: true } : {}),
    ...(up === USUAL_UP[by] ? {} : { up: `${up}` }),
    ...(jump ? { jump } : {}),
    ...(alternate ? { alternate } : {}),
  };
}

/** @example 'Going on with landings, switchback, onsets 1 to 12, at 48 a minute.' */
export function goingOnWords(task: Task): string {
  const { first, last, tempoBpm, ladder } = task;
  const how = ladder
    ? `up the ladder from ${Math.round(ladder.startBpm)} to ${Math.round(ladder.goalBpm)}`
    : `at ${Math.round(tempoBpm)} a minute`;
  return `Going on with ${rowOf(task).join(', ')}, onsets ${first} to ${last}, ${how}.`;
}

/** The command that works a slice. */
function sliceCommand({ passage, selection }: Work, task: Task): string {
  return [
    `fettle work ${typedWord(passage)}`,
    ...Object.entries({ ...selection, ...taskOptions(task) }).map(([name, value]) => {
      const option = `--${name.replaceAll(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`;
      return value === true ? option : `${option} ${typedWord(value)}`;
    }),
  ].join(' ');
}

export function todayLines(slices: readonly Slice[]): string[] {
  if (slices.length === 0) {
    return [
      'Nothing to go by yet: work a passage once, and it is here tomorrow. fettle survey PASSAGE is a beginning.',
    ];
  }
  const worked = slices.reduce((sum, slice) => sum + (slice.kind === 'work' ? slice.minutes : 0), 0);
  let number = 0;
  return [
    `${counted(worked, 'minute')} for today:`,
    '',
    ...slices.flatMap((slice) => {
      if (slice.kind === 'rest') {
        return [
          `    Rest for ${slice.minutes} minutes. Stop if it hurts; if it lasts, see a doctor or physiotherapist.`,
        ];
      }
      number += 1;
      const { work, task, minutes } = slice;
      return [
        `${String(number).padStart(2)}. ${minutes} min  ${reason(slice.overdueDays, work, task)}`,
        `    ${sliceCommand(work, task)}`,
      ];
    }),
    '',
    'Short slices in turn rather than one piece for long: in most studies that held',
    'better the next day, in some it made no difference. The gaps between days are',
    'from studies of words, not of fingers. Go by your own ears and hands first.',
  ];
}

/** A slice as it begins: which of how many, for how long, and why. */
export function sliceWords(
  { minutes, overdueDays, work, task }: WorkSlice,
  number: number,
  of: number,
): string {
  return `Slice ${number} of ${of}, ${counted(minutes, 'minute')}. ${reason(overdueDays, work, task)}`;
}

/** The same for a screen: a line for each slice, without commands. */
export function planLines(slices: readonly Slice[]): string[] {
  return slices.map((slice) => {
    if (slice.kind === 'rest') return `${slice.minutes} min  rest`;
    const { work, task, minutes } = slice;
    return `${minutes} min  ${work.passage}, ${rowOf(task).join(', ')} at ${task.tempoBpm}: ${taskWords(task)}`;
  });
}

function reason(overdueDays: number | undefined, { cleanShare }: Work, task: Task): string {
  const due =
    overdueDays === undefined
      ? 'Not due yet, but there is time'
      : overdueDays === 0
        ? 'Due today'
        : `Due for ${counted(overdueDays, 'day')}`;
  const lately = cleanShare === undefined ? '' : `; ${percent(cleanShare)} clean lately`;
  return `${due}${lately}: ${taskWords(task)}.`;
}

function taskWords(task: Task): string {
  const { why } = task;
  switch (why.kind) {
    case 'go-on':
      return `go on at ${why.stepName}`;
    case 'worst':
      return `the interval from onset ${why.from} goes wrong in ${percent(why.troubledShare)}`;
    case 'climb':
      return `on up the ladder, to ${Math.round(why.goalBpm)}`;
    case 'faster':
      return `clean at ${Math.round(task.tempoBpm)}: up the ladder to ${Math.round(why.goalBpm)}`;
    case 'begin':
      return 'after the run-throughs: beat by beat';
    case 'context':
      return 'in its context, without stopping';
    case 'check':
      return 'clean last time: see whether it held';
  }
}
