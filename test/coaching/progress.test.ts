import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { mean as libraryMean, sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { cleanTempo, type PractisedTake } from '../../src/coaching/clean-tempo.ts';
import { dayNumber } from '../../src/coaching/due.ts';
import { progressOf, returnDays } from '../../src/coaching/progress.ts';
import { worksOf } from '../../src/coaching/works.ts';
import { openDatabase } from '../../src/devices/database.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { ProblemError } from '../../src/problem.ts';
import { madeEntry } from '../record/made-entry.ts';
import { madeMonth } from '../report/made-month.ts';

const take = (
  first: number,
  last: number,
  tempoBpm: number,
  more: Partial<PractisedTake> = {},
): PractisedTake => ({
  day: 1,
  first,
  last,
  tempoBpm,
  clean: true,
  complete: true,
  ...more,
});

describe('the clean tempo', () => {
  const whole = { first: 1, last: 4 };

  it('is that of the interval that holds the line back', () => {
    const takes = [take(1, 3, 80), take(3, 4, 60), take(3, 4, 66), take(1, 2, 96)];
    expect(cleanTempo(takes, whole)).toEqual({ inPiecesBpm: 66, slowestOnset: 3 });
  });

  it('is told in one go where one take holds all of it', () => {
    expect(cleanTempo([take(1, 4, 54), take(1, 5, 58), take(1, 3, 90)], whole)).toMatchObject({
      inOneGoBpm: 58,
      inPiecesBpm: 58,
    });
  });

  it('is none while an interval has never been clean, or only in takes that were not complete', () => {
    expect(cleanTempo([take(1, 3, 80)], whole)).toEqual({});
    expect(cleanTempo([take(1, 4, 80, { clean: false })], whole)).toEqual({});
    expect(cleanTempo([take(1, 4, 80, { complete: false })], whole)).toEqual({});
  });
});

describe('progress', () => {
  it('has the figures that SQL by hand has of the same record', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'fettle-month-'));
    const file = join(folder, 'practice.db');
    const opened = await openDatabaseRecord(file);
    if (!opened.ok) throw new ProblemError(opened.problem);
    const record = opened.value;
    for (const entry of madeMonth(5)) record.append(entry);
    const progress = progressOf(record.summaries(), { first: 1, last: 8 });
    record.close();
    const database = await openDatabase(file);
    const one = (sql: string) => Number(Object.values(database.all(sql, [])[0]!)[0]);
    expect(progress.takes).toBe(one(`SELECT count(*) FROM take WHERE ended <> 'skipped'`));
    expect(progress.cleanShare).toBeCloseTo(one(`SELECT avg(clean) FROM take WHERE ended = 'stopped'`), 12);
    const days = database.all(
      `SELECT day, count(*) AS takes FROM take WHERE ended <> 'skipped' GROUP BY day ORDER BY day`,
      [],
    );
    expect(progress.days.map(({ day, takes }) => [day, takes])).toEqual(
      days.map((row) => [dayNumber(String(row.day)), Number(row.takes)]),
    );
    const fastest = database.all(
      `SELECT day, min(best) AS bpm, count(*) AS intervals FROM
        (SELECT day, step_first, max(tempo_bpm) AS best FROM take
         WHERE clean = 1 AND ended = 'stopped' GROUP BY day, step_first)
       GROUP BY day HAVING intervals = 7 ORDER BY day`,
      [],
    );
    const known = progress.days.filter(({ inPiecesBpm }) => inPiecesBpm !== undefined);
    expect(known.map(({ day, inPiecesBpm }) => [day, inPiecesBpm])).toEqual(
      fastest.map((row) => [dayNumber(String(row.day)), Number(row.bpm)]),
    );
    expect(known.length).toBeGreaterThan(3);
    expect(progress.skipped.reduce((sum, { times }) => sum + times, 0)).toBe(
      one(`SELECT count(*) FROM take WHERE ended = 'skipped'`),
    );
    database.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('knows an interval by its mean and spread, and whether it gets better', () => {
    const micros = [-40_000, -35_000, -28_000, -4_000, -2_000, 1_000];
    const takes = micros.map((deviationMicros, i) =>
      madeEntry(i + 1, {
        verdict: {
          clean: false,
          slips: [],
          intervals: [{ from: 3, to: 4, expectedMicros: 500_000, deviationMicros, clean: i > 2 }],
          pace: 1,
        },
      }),
    );
    const [interval] = progressOf(takes, { first: 1, last: 8 }).intervals;
    // simple-statistics (ISC, development only).
    expect(interval).toMatchObject({
      from: 3,
      takes: 6,
      troubledShare: 0.5,
      earlierShare: 1,
      laterShare: 0,
    });
    expect(interval!.meanMicros).toBeCloseTo(libraryMean(micros), 9);
    expect(interval!.spreadMicros).toBeCloseTo(sampleStandardDeviation(micros), 6);
  });

  it('counts the interval that led to a slip', () => {
    const verdict = { clean: false, slips: [{ kind: 'wrong', onset: 4 }], intervals: [], pace: 1 } as const;
    const takes = [1, 2].map((order) => madeEntry(order, { clean: false, verdict }));
    expect(progressOf(takes, { first: 1, last: 8 }).intervals).toMatchObject([{ from: 3, troubledShare: 1 }]);
  });
});

describe('what there is to work', () => {
  it('is each passage once, its worst interval with a drill of its own', () => {
    const takes = [...madeMonth(5), ...madeMonth(6, { passage: 'ebb', fingerprint: 'f'.repeat(32) })];
    const works = worksOf(takes, {});
    expect(works.map(({ passage }) => passage)).toEqual(['harbour-reel', 'ebb']);
    for (const { tasks, dueDay } of works) {
      expect(tasks.length).toBeGreaterThan(1);
      expect(dueDay).toBeGreaterThan(dayNumber('2026-11-20'));
      const onWorst = tasks.find(({ why }) => why.kind === 'worst');
      if (onWorst) expect(onWorst.snag).toBeGreaterThanOrEqual(onWorst.first);
    }
  });

  it('comes back the next day where most of the complete takes were not clean', () => {
    const missed = madeEntry(1, { clean: false });
    expect(returnDays([missed])).toEqual([{ day: dayNumber('2026-11-23'), held: false }]);
    expect(returnDays([missed, madeEntry(2), madeEntry(3)])[0]!.held).toBe(true);
  });
});
