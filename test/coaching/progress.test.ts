import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { mean as libraryMean, sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { cleanTempo, type PractisedTake } from '../../src/coaching/clean-tempo.ts';
import { dateOf, dayNumber } from '../../src/coaching/due.ts';
import { INTERVAL_TAKES, progressOf, returnDays } from '../../src/coaching/progress.ts';
import { latelyFrom, workedPassages, workOf } from '../../src/coaching/works.ts';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabase } from '../../src/devices/database.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import type { Entry } from '../../src/record/entry.ts';
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
    const record = need(await openDatabaseRecord(file));
    for (const entry of madeMonth(5)) record.append(entry);
    const reader = await record.reader();
    const all = await reader.summaries();
    const progress = progressOf(all, all, { first: 1, last: 8 });
    // The same figures, counted by the database.
    const [worked] = workedPassages(await reader.days());
    expect(worked).toMatchObject({ takes: progress.takes, passage: 'harbour-reel' });
    expect(worked!.cleanShare).toBeCloseTo(progress.cleanShare!, 12);
    const counted = worked!.days.map(({ complete, clean, ...day }) => {
      expect(day.cleanShare).toBe(complete === 0 ? undefined : clean / complete);
      return day;
    });
    expect(counted).toEqual(
      progress.days.map(({ day, takes, cleanShare }) => ({
        day,
        takes,
        ...(cleanShare === undefined ? {} : { cleanShare }),
      })),
    );
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
    const [interval] = progressOf(takes, takes, { first: 1, last: 8 }).intervals;
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

  it('tells intervals from the latest takes, not from what went wrong years ago', () => {
    const takes = Array.from({ length: INTERVAL_TAKES + 2 }, (_, i) => {
      const [from, clean] = i < 2 ? [5, false] : [3, i % 2 === 0];
      const interval = { from, to: from + 1, expectedMicros: 500_000, deviationMicros: 0, clean };
      return madeEntry(i + 1, { verdict: { clean, slips: [], intervals: [interval], pace: 1 } });
    });
    const told = { intervals: [{ from: 3, takes: INTERVAL_TAKES, troubledShare: 0.5 }], takes: takes.length };
    for (const judged of [takes, takes.slice(-INTERVAL_TAKES)]) {
      const progress = progressOf(takes, judged, { first: 1, last: 8 });
      expect(progress).toMatchObject({ ...told, intervalTakes: INTERVAL_TAKES });
      expect(progress.intervals).toHaveLength(1);
    }
    expect(progressOf(takes.slice(2), takes.slice(2), { first: 1, last: 8 })).not.toHaveProperty(
      'intervalTakes',
    );
  });

  it('counts the interval that led to a slip', () => {
    const verdict = { clean: false, slips: [{ kind: 'wrong', onset: 4 }], intervals: [], pace: 1 } as const;
    const takes = [1, 2].map((order) => madeEntry(order, { clean: false, verdict }));
    expect(progressOf(takes, takes, { first: 1, last: 8 }).intervals).toMatchObject([
      { from: 3, troubledShare: 1 },
    ]);
  });
});

describe('what there is to work', () => {
  it('is each passage once, its worst interval with a drill of its own', async () => {
    const opened = need(await openDatabaseRecord(':memory:'));
    opened.add([
      ...madeMonth(5),
      ...madeMonth(6, { passage: 'ebb', fingerprint: 'f'.repeat(32), sitting: 'ebb' }),
    ]);
    const reader = await opened.reader();
    const all = workedPassages(await reader.days());
    expect(all.map(({ passage }) => passage).sort()).toEqual(['ebb', 'harbour-reel']);
    for (const worked of all) {
      const lately = await reader.summaries({
        fingerprint: worked.fingerprint!,
        from: dateOf(latelyFrom(worked)),
      });
      // Three days at the least, and thirty takes; no more days than that needs.
      const days = new Set(lately.map(({ date }) => date.slice(0, 10))).size;
      const played = lately.filter(({ end }) => end !== 'skipped').length;
      expect(days).toBeGreaterThanOrEqual(3);
      expect(played).toBeGreaterThanOrEqual(30);
      expect(days === 3 || played < 30 + 14).toBe(true);
      const { tasks, dueDay } = workOf(worked, lately, {})!;
      expect(tasks.length).toBeGreaterThan(1);
      expect(dueDay).toBeGreaterThan(dayNumber('2026-11-20'));
      const onWorst = tasks.find(({ why }) => why.kind === 'worst');
      if (onWorst) expect(onWorst.snag).toBeGreaterThanOrEqual(onWorst.first);
    }
    await reader.close();
  });

  it('comes back the next day where most of the complete takes were not clean', () => {
    const missed = madeEntry(1, { clean: false });
    const days = (...takes: Entry[]) => returnDays(progressOf(takes, takes, { first: 1, last: 8 }).days);
    expect(days(missed)).toEqual([{ day: dayNumber('2026-11-23'), held: false }]);
    expect(days(missed, madeEntry(2), madeEntry(3))[0]!.held).toBe(true);
  });
});
