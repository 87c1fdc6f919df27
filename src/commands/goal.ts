// `fettle goal`: a tempo by a day, for a passage or some bars of it.

import { localDay } from '../local-date.ts';
import { readDay } from './day-argument.ts';
import { goalsIn, keepGoal } from './kept-goals.ts';
import { tempoBpm } from './number-argument.ts';
import { openOwnRecord } from './own-record.ts';
import { loadSpan, type PassageOptions } from './passage-argument.ts';
import { print } from './print.ts';
import type { RecordOptions } from './record-place.ts';
import { openReaderOrNew, whoseOwn } from './record-reading.ts';
import { usage } from './usage-problem.ts';

export interface GoalOptions extends PassageOptions, RecordOptions {
  readonly tempo?: string;
  readonly by?: string;
  readonly forget?: boolean;
}

export async function goal(argument: string | undefined, options: GoalOptions): Promise<void> {
  if (argument === undefined) {
    await listGoals(options);
    return;
  }
  const record = await openOwnRecord(options);
  try {
    const span = await loadSpan(argument, options);
    if (options.forget) {
      keepGoal(record, span, undefined);
      print(`${argument} has no goal any more.`);
      return;
    }
    if (options.by === undefined) {
      throw usage('goal.by', 'Cannot set the goal: by which day?', 'Such as --by 2027-03-14.');
    }
    const by = readDay(options.by);
    if (by <= localDay(new Date())) {
      throw usage('goal.past', `Cannot set the goal by ${by}: a day after today is needed`);
    }
    const bpm = options.tempo === undefined ? span.passage.tempo.bpm : tempoBpm(options.tempo);
    const { first, last } = span;
    keepGoal(record, span, { passage: argument, first, last, tempoBpm: bpm, by });
    print(
      `${span.passage.title}: ${bpm} a minute by ${by}. fettle progress ${argument} tells how it is going.`,
    );
  } finally {
    record.close();
  }
}

async function listGoals(options: GoalOptions): Promise<void> {
  const reader = await openReaderOrNew(options);
  try {
    const goals = Object.values(await goalsIn(reader, await whoseOwn(reader, options)));
    if (goals.length === 0) print('No goals yet. Such as: fettle goal slipway --tempo 72 --by 2027-03-14');
    for (const { passage, first, last, tempoBpm: bpm, by } of goals)
      print(`${passage}, onsets ${first} to ${last}: ${bpm} a minute by ${by}`);
  } finally {
    await reader.close();
  }
}
