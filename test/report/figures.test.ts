// The page's figures against the record's own rows, asked by hand in SQL that shares nothing with the program: a made
// month, through the command line, and for each table of the page what SQLite says.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { loadSpan } from '../../src/commands/passage-argument.ts';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabase, type SqlRow } from '../../src/devices/database.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { passageFingerprint } from '../../src/record/fingerprint.ts';
import { fettle } from '../commands/run.ts';
import { ownFolder } from '../own-folder.ts';
import { madeMonth } from './made-month.ts';

const folder = ownFolder();

/** The cells of the first table after a heading. */
function tableUnder(page: string, heading: string): string[][] {
  const table = page.slice(page.indexOf(`<h2>${heading}</h2>`)).match(/<tbody>(.*?)<\/tbody>/s)![1]!;
  return [...table.matchAll(/<tr>(.*?)<\/tr>/gs)].map((row) =>
    [...row[1]!.matchAll(/<td>(.*?)<\/td>/gs)].map((cell) => cell[1]!),
  );
}

const cells = (rows: readonly SqlRow[], names: readonly string[]) =>
  rows.map((row) => names.map((name) => (row[name] === null ? '-' : String(row[name]))));

/** Eight onsets are worked: seven intervals, each in the clean takes whose step holds both its ends. */
const DAYS = `WITH RECURSIVE
  interval (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM interval WHERE i < 7),
  own AS (SELECT * FROM take WHERE player = 'Ilse' AND ended <> 'skipped'),
  fastest AS (
    SELECT day, i, max(tempo_bpm) AS bpm FROM own, interval
    WHERE clean = 1 AND ended = 'stopped' AND step_first <= i AND step_last > i GROUP BY day, i
  ),
  pieces AS (SELECT day, round(min(bpm)) AS bpm FROM fastest GROUP BY day HAVING count(*) = 7),
  whole AS (
    SELECT day, round(max(tempo_bpm)) AS bpm FROM own
    WHERE clean = 1 AND ended = 'stopped' AND step_first <= 1 AND step_last >= 8 GROUP BY day
  )
  SELECT own.day, CAST(pieces.bpm AS INTEGER) AS pieces, CAST(whole.bpm AS INTEGER) AS whole, count(*) AS takes,
    CAST(round(100.0 * sum(clean AND ended = 'stopped') / sum(ended = 'stopped')) AS INTEGER) || ' %' AS share
  FROM own LEFT JOIN pieces ON pieces.day = own.day LEFT JOIN whole ON whole.day = own.day
  GROUP BY own.day ORDER BY own.day`;

const INTERVALS = `WITH
  played AS (
    SELECT *, row_number() OVER (ORDER BY date, id) AS number FROM take WHERE ended <> 'skipped' AND verdict IS NOT NULL
  ),
  timed AS (
    SELECT number, value ->> 'from' AS onset, value ->> 'deviationMicros' AS micros, value ->> 'clean' AS clean
    FROM played, json_each(verdict, '$.intervals')
  ),
  slip AS (SELECT DISTINCT number, (value ->> 'onset') - 1 AS onset FROM played, json_each(verdict, '$.slips')),
  told AS (
    SELECT onset, micros, (NOT clean OR EXISTS (SELECT 1 FROM slip WHERE slip.number = timed.number
      AND slip.onset = timed.onset)) AS troubled, row_number() OVER (PARTITION BY onset ORDER BY number) AS place,
      count(*) OVER (PARTITION BY onset) AS takes
    FROM timed
  )
  SELECT onset, count(*) AS takes, CAST(round(100.0 * avg(troubled)) AS INTEGER) || ' %' AS troubled,
    CAST(round(100.0 * avg(CASE WHEN place > takes / 2 THEN troubled END)) AS INTEGER) || ' %' AS later,
    CAST(round(avg(micros) / 1000) AS INTEGER) AS mean,
    CAST(round(sqrt((sum(micros * micros) - count(*) * avg(micros) * avg(micros)) / (count(*) - 1)) / 1000)
      AS INTEGER) AS spread
  FROM told GROUP BY onset ORDER BY onset`;

const TROUBLES = `WITH
  played AS (SELECT * FROM take WHERE ended <> 'skipped'),
  latest AS (SELECT DISTINCT day FROM played ORDER BY day DESC LIMIT 21),
  told AS (
    SELECT day, value ->> 'to' AS onset,
      CASE WHEN value ->> 'deviationMicros' < 0 THEN 'too short' ELSE 'too long' END AS what
    FROM played, json_each(verdict, '$.intervals') WHERE NOT (value ->> 'clean')
    UNION ALL
    SELECT day, value ->> 'onset', replace(value ->> 'kind', 'wrong', 'wrong note')
    FROM played, json_each(verdict, '$.slips')
  )
  SELECT substr(day, 6) AS day, onset, what, count(*) AS times FROM told WHERE day IN latest
  GROUP BY day, onset, what ORDER BY 1, 2, 3`;

it('has the figures that SQL by hand finds in the rows of a month', async () => {
  const place = join(folder, 'month.db');
  const out = join(folder, 'month.html');
  const { passage } = await loadSpan('slipway', {});
  const record = need(await openDatabaseRecord(place));
  record.add(madeMonth(8, { passage: 'slipway', fingerprint: passageFingerprint(passage) }));
  record.close();
  expect(await fettle(['report', 'slipway', '--record', place, '--out', out])).toMatchObject({ status: 0 });
  const page = readFileSync(out, 'utf8');
  const database = await openDatabase(place);
  const rows = (sql: string) => database.all(sql, []);
  try {
    const days = cells(rows(DAYS), ['day', 'pieces', 'whole', 'takes', 'share']);
    expect(days.length).toBeGreaterThan(14);
    expect(days.some(([, pieces]) => pieces !== '-')).toBe(true);
    expect(tableUnder(page, 'Clean tempo by day')).toEqual(days);
    expect(tableUnder(page, 'Clean takes')).toEqual(
      days.map(([day, , , takes, share]) => [day, takes, share]),
    );

    const [all] = rows(`SELECT min(day) AS first, max(day) AS last, sum(ended <> 'skipped') AS takes,
      count(DISTINCT CASE WHEN ended <> 'skipped' THEN day END) AS days,
      CAST(round(100.0 * sum(clean AND ended = 'stopped') / sum(ended = 'stopped')) AS INTEGER) AS share FROM take`);
    expect(page).toContain(`${all!.first} to ${all!.last}: ${all!.takes} takes on ${all!.days} days`);
    expect(page).toContain(`In all, ${all!.share} % of the complete takes were clean`);

    const intervals = cells(rows(INTERVALS), ['onset', 'takes', 'troubled', 'later', 'mean', 'spread']);
    expect(intervals).toHaveLength(7);
    expect(tableUnder(page, 'Interval by interval').map(([, ...figures]) => figures)).toEqual(intervals);

    const troubles = cells(rows(TROUBLES), ['day', 'onset', 'what', 'times']);
    expect(troubles.length).toBeGreaterThan(30);
    expect(tableUnder(page, 'What went wrong, and where').sort()).toEqual(troubles.sort());

    const drills = rows(`SELECT drill, count(*) AS takes, sum(clean) AS clean,
      CAST(round(max(CASE WHEN clean THEN tempo_bpm END)) AS INTEGER) AS bpm FROM take WHERE ended <> 'skipped'
      GROUP BY drill ORDER BY min(id)`);
    expect(tableUnder(page, 'What was practised')).toEqual(cells(drills, ['drill', 'takes', 'clean', 'bpm']));
    const skipped = rows(`SELECT drill || ' ' || step_name || ' (' || count(*) || ')' AS said FROM take
      WHERE ended = 'skipped' GROUP BY drill, step_name`);
    for (const { said } of skipped) expect(page).toContain(String(said));
    expect(skipped.length).toBeGreaterThan(0);
  } finally {
    database.close();
  }
});
