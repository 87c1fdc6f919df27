import { linearRegression, probit } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { chanceOf, forecast, LEAST_FORECAST_DAYS } from '../../src/coaching/forecast.ts';
import { madeDays } from './learning-curve.ts';

describe('the forecast of the clean tempo', () => {
  it.each([
    [5, 3],
    [8, 7],
    [14, 7],
    [14, 14],
    [21, 14],
  ])('after %i days holds what came %i days later in 70 to 90 of 100', (have, ahead) => {
    let inside = 0;
    let all = 0;
    for (let seed = 1; seed <= 400; seed++) {
      const days = madeDays(seed, have + ahead + 4);
      const shown = days.find(({ day }) => day >= have + ahead - 1);
      const found =
        shown &&
        forecast(
          days.filter(({ day }) => day < have),
          shown.day,
        );
      if (!found) continue;
      all += 1;
      if (shown.bpm >= found.lowBpm && shown.bpm <= found.highBpm) inside += 1;
    }
    expect(all).toBeGreaterThan(200);
    expect(inside / all).toBeGreaterThan(0.7);
    expect(inside / all).toBeLessThan(0.9);
  });

  it('goes through a straight line as an independent library draws it', () => {
    // simple-statistics 7.12 (ISC, development only). Days so close together that all weigh the same to a hair.
    const days = [60, 66, 69, 72, 73].map((bpm, day) => ({ day: day / 1000, bpm }));
    const { m, b } = linearRegression(days.map(({ day, bpm }) => [Math.log(1 + day), Math.log(bpm)]));
    const last = days.at(-1)!.day;
    const found = forecast(days, last)!;
    expect(found.bpm).toBeCloseTo(Math.exp(b + m * Math.log(1 + last)), 2);
  });

  it('has the quantiles of the handbook', () => {
    // Student's t, one-sided 0.90: 1.533 for 4 degrees of freedom, 1.372 for 10 (any table). The band is read back.
    const width = (count: number) => {
      const days = Array.from({ length: count }, (_, day) => ({ day, bpm: 60 }));
      const { bpm, highBpm } = forecast(days, count - 1)!;
      return Math.log(highBpm / bpm);
    };
    // All at one tempo: the spread is the least one, and the lever of the last day is known.
    const lever = (count: number) => {
      const points = Array.from({ length: count }, (_, day) => ({
        x: Math.log(1 + day),
        w: 0.5 ** ((count - 1 - day) / 7),
      }));
      const weight = points.reduce((sum, { w }) => sum + w, 0);
      const mean = points.reduce((sum, { w, x }) => sum + w * x, 0) / weight;
      const spread = points.reduce((sum, { w, x }) => sum + w * (x - mean) ** 2, 0);
      return Math.sqrt(1 + 1 / weight + (points.at(-1)!.x - mean) ** 2 / spread);
    };
    expect(width(6) / lever(6) / 0.015).toBeCloseTo(1.533, 2);
    expect(width(12) / lever(12) / 0.015).toBeCloseTo(1.372, 2);
  });

  it('says nothing of too few days, nor of a day too far away', () => {
    const days = madeDays(4, 30);
    const few = days.slice(0, LEAST_FORECAST_DAYS - 1);
    expect(forecast(few, 10)).toBeUndefined();
    expect(chanceOf(few, { day: 10, bpm: 70 })).toBeUndefined();
    expect(forecast(days, days.at(-1)!.day + 22)).toBeUndefined();
    expect(forecast(days, days.at(-1)!.day + 21)).toBeDefined();
  });

  it('gives an even chance to the middle, and one in ten to the upper end of its band', () => {
    const days = madeDays(7, 20);
    const day = 25;
    const { bpm, highBpm } = forecast(days, day)!;
    expect(chanceOf(days, { day, bpm })).toBeCloseTo(0.5, 6);
    expect(chanceOf(days, { day, bpm: highBpm })).toBeCloseTo(0.1, 6);
    // With many days the t distribution is nearly the normal one: the same chance from an independent library.
    expect(probit(0.9)).toBeCloseTo(1.28, 2);
  });
});
