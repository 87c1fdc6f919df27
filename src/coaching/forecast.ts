// Where the clean tempo is going. The power law of practice (Newell & Rosenbloom 1981, from memory): the logarithm of
// what is done grows in a line with the logarithm of how long it has been practised, ever more slowly. Recent days
// weigh more; beyond the last day the doubt grows with every day, since good days and bad days come in runs.

import jStat from 'jstat';

export interface TempoOfDay {
  /** Calendar days from any first day, whole. */
  readonly day: number;
  readonly bpm: number;
}

export interface Forecast {
  /** As likely exceeded as not. */
  readonly bpm: number;
  /** Eighty in a hundred such days lie from low to high. */
  readonly lowBpm: number;
  readonly highBpm: number;
}

/** Fewer days say nothing of the way on. */
export const LEAST_FORECAST_DAYS = 4;
/** A forecast reaches no further than the days behind it, and three weeks at the most. */
const FORECAST_DAYS_MOST = 21;

const BAND = 0.8;
/** The weight of a day halves in so many days. Judgement. */
const HALF_LIFE_DAYS = 7;
/**
 * Of what the line does not explain, this share is the spread of single days; the rest is the misfit of the line.
 * Fitted likewise.
 */
const NOISE_SHARE = 0.45;
/** Least spread of a day: a tempo is found in rungs of about 3 %. */
const LEAST_SD = 0.015;
/**
 * How much of the slope goes on beyond the last day: learning levels off, and a line drawn on promises too much. Fitted as
 * the share below is.
 */
const DAMPING = 0.3;
/**
 * Doubt added a day ahead, as a share of the days' own variance: fitted on made learning curves with plateaus and
 * forgetting, so that the band holds 80 % of what came (test/coaching/forecast.test.ts).
 */
const DRIFT_SHARE = 0.03;

/** Undefined where there is too little to go by, or too far to see. Days need not be in order. */
export function forecast(days: readonly TempoOfDay[], toDay: number): Forecast | undefined {
  const line = fitDays(days);
  if (!line || toDay - line.lastDay > FORECAST_DAYS_MOST) return undefined;
  const x = practised(toDay - line.firstDay);
  const ahead = Math.max(0, toDay - line.lastDay);
  const lastX = practised(line.lastDay - line.firstDay);
  const middle = line.meanY + line.slope * (lastX - line.meanX + DAMPING * (x - lastX));
  const variance =
    line.variance * (1 + 1 / line.weight + (x - line.meanX) ** 2 / line.spreadX + DRIFT_SHARE * ahead);
  const reach = jStat.studentt.inv((1 + BAND) / 2, line.freedom) * Math.sqrt(variance);
  return { bpm: Math.exp(middle), lowBpm: Math.exp(middle - reach), highBpm: Math.exp(middle + reach) };
}

/** The chance, 0 to 1, that the tempo of a day is at least so much; undefined as the forecast is. */
export function chanceOf(days: readonly TempoOfDay[], goal: TempoOfDay): number | undefined {
  const found = forecast(days, goal.day);
  const line = fitDays(days);
  if (!found || !line) return undefined;
  const t = jStat.studentt.inv((1 + BAND) / 2, line.freedom);
  const sd = Math.log(found.highBpm / found.bpm) / t;
  return 1 - jStat.studentt.cdf(Math.log(goal.bpm / found.bpm) / sd, line.freedom);
}

interface DayLine {
  readonly firstDay: number;
  readonly lastDay: number;
  readonly meanX: number;
  readonly meanY: number;
  readonly slope: number;
  readonly spreadX: number;
  readonly weight: number;
  readonly variance: number;
  readonly freedom: number;
}

/** Weighted least squares of log tempo over log days. */
function fitDays(days: readonly TempoOfDay[]): DayLine | undefined {
  if (new Set(days.map(({ day }) => day)).size < LEAST_FORECAST_DAYS) return undefined;
  const firstDay = Math.min(...days.map(({ day }) => day));
  const lastDay = Math.max(...days.map(({ day }) => day));
  const points = days.map(({ day, bpm }) => ({
    x: practised(day - firstDay),
    y: Math.log(bpm),
    w: 0.5 ** ((lastDay - day) / HALF_LIFE_DAYS),
  }));
  const weight = sum(points.map(({ w }) => w));
  const meanX = sum(points.map(({ w, x }) => w * x)) / weight;
  const meanY = sum(points.map(({ w, y }) => w * y)) / weight;
  const spreadX = sum(points.map(({ w, x }) => w * (x - meanX) ** 2));
  const slope = sum(points.map(({ w, x, y }) => w * (x - meanX) * (y - meanY))) / spreadX;
  const left = points.map(({ w, x, y }) => w * (y - meanY - slope * (x - meanX)) ** 2);
  const freedom = points.length - 2;
  // Weights that sum to the number of days, so that the spread is that of a day.
  const spread = (sum(left) * points.length) / weight / freedom;
  return {
    firstDay,
    lastDay,
    meanX,
    meanY,
    slope,
    spreadX,
    weight,
    variance: Math.max(NOISE_SHARE * spread, LEAST_SD ** 2),
    freedom,
  };
}

function practised(days: number): number {
  return Math.log(1 + days);
}

function sum(values: readonly number[]): number {
  return values.reduce((all, value) => all + value, 0);
}
