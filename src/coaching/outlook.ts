// What is to be expected of a passage: its goal, where the clean tempo is going, and when it is due again.

import { dayNumber, dueDay, type ReturnDay } from './due.ts';
import { chanceOf, type Forecast, forecast, LEAST_FORECAST_DAYS } from './forecast.ts';
import type { Goal } from './goal.ts';
import type { Progress } from './progress.ts';

export interface Outlook {
  /** Day number of today. */
  readonly today: number;
  readonly goal?: Goal;
  /** For the goal's day. */
  readonly forecast?: Forecast;
  /** That the goal is reached by its day, 0 to 1. */
  readonly chance?: number;
  /** Days with a clean tempo that are still missing for a forecast. */
  readonly daysMissing?: number;
  readonly dueDay?: number;
}

/** A clean tempo in pieces stands for the day; what is clean in one go is clean in pieces. */
export function outlookOf(
  progress: Progress,
  returns: readonly ReturnDay[],
  goal: Goal | undefined,
  today: number,
): Outlook {
  const days = progress.days.flatMap(({ day, inPiecesBpm }) =>
    inPiecesBpm === undefined ? [] : [{ day, bpm: inPiecesBpm }],
  );
  const byDay = goal === undefined ? undefined : dayNumber(goal.by);
  const due = dueDay(returns, byDay);
  const found = byDay === undefined ? undefined : forecast(days, byDay);
  const chance =
    goal === undefined || byDay === undefined
      ? undefined
      : chanceOf(days, { day: byDay, bpm: goal.tempoBpm });
  return {
    today,
    daysMissing: Math.max(0, LEAST_FORECAST_DAYS - days.length),
    ...(goal === undefined ? {} : { goal }),
    ...(found === undefined ? {} : { forecast: found }),
    ...(chance === undefined ? {} : { chance }),
    ...(due === undefined ? {} : { dueDay: due }),
  };
}
