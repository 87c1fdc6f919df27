// `fettle work PASSAGE --minutes N`: a first day, and the next one. The record of the first is put back by a day by hand.

import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { openDatabase } from '../../src/devices/database.ts';
import { localDay } from '../../src/local-date.ts';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();
const record = join(folder, 'practice.db');
const WORK = `work slipway --bars 1-2 --from model:pupil,snag=5:rushed --fast --plain --record ${record}`;

let first = '';
let second = '';

beforeAll(async () => {
  first = (await fettle(`${WORK} --minutes 8`)).out;
  const database = await openDatabase(record);
  const date = (hour: string) =>
    `UPDATE take SET day = '2026-03-01', date = '2026-03-01T${hour}:00:00.000+00:00'`;
  database.execute(`${date('09')} WHERE drill = 'survey'`);
  database.execute(`${date('10')} WHERE drill <> 'survey'`);
  // A week old at the most: its day is told from the clock of the computer.
  const yesterday = localDay(new Date(Date.now() - 86_400_000));
  database.execute(
    `UPDATE take SET day = '${yesterday}', date = replace(date, '2026-03-01', '${yesterday}')`,
  );
  database.close();
  second = (await fettle(`${WORK} --minutes 12`)).out;
});

/** What is told, but for takes. */
function told(out: string): string[] {
  return out.split('\n').filter((line) => !/^ +[\d.]+ {2}[+x]/.test(line));
}

describe('half an hour on a passage', () => {
  it('begins with two run-throughs, and the drills answer what they showed', () => {
    expect(first).toContain('2 run-throughs');
    expect(first).toContain('Only C5 to D5 trips');
    const drills = [...first.matchAll(/step \d of \d, (\w+):/g)].map(([, drill]) => drill);
    expect([...new Set(drills)]).toEqual(['survey', 'tenuto', 'widening']);
  });

  it('ends with the passage in its context, and says what to do tomorrow', () => {
    const lines = told(first);
    const end = lines.findIndex((line) => line.includes('to end with'));
    expect(lines[end + 1]).toMatch(/step 1 of 1, through, .* D5$/);
    expect(lines.slice(lines.indexOf('Tomorrow:'))).toEqual([
      'Tomorrow:',
      expect.stringMatching(/^ {2}tenuto: passed; its last step once, clean, as a check$/),
      expect.stringMatching(
        /^ {2}widening: \d of 7 steps passed; first .* once, clean, as a check, then on at /,
      ),
      expect.stringContaining('fettle work slipway --bars 1-2 --minutes 8'),
    ]);
  });

  it('goes on with the same hand tomorrow, as strictly, and ends no slower than it has been played', async () => {
    // Nothing trips an exact player, who climbs to the goal of 66.
    const { out } = await fettle(
      `work crosstide --hand left --bars 1-2 --tolerance rough --minutes 5 --from model:exact --fast --plain --record ${join(folder, 'left.db')}`,
    );
    expect(out).toContain(
      '\n  fettle work crosstide --hand left --tolerance rough --bars 1-2 --minutes 5 does it in this order;',
    );
    const end = out.slice(out.indexOf(' to end with:'));
    expect(/step 1 of 1, through, ([\d.]+) a minute/.exec(end)![1]).toBe('66');
  });

  it('asks the next day once for what was passed, and goes on where it stood, without new run-throughs', () => {
    const lines = told(second);
    expect(lines[0]).toMatch(/^By the run-throughs of \d{4}-\d\d-\d\d: Only C5 to D5 trips/);
    const checked = lines.findIndex((line) => line.includes('tenuto was passed another day'));
    expect(lines[checked + 1]).toContain('step 4 of 4, tenuto: no lean');
    const taken = lines.findIndex((line) => line.includes('on with widening'));
    const steps = lines.slice(taken).flatMap((line) => /step (\d) of 7/.exec(line)?.[1] ?? []);
    const stood = Number(/widening: (\d) of 7/.exec(first)![1]);
    expect(steps.slice(0, 2)).toEqual([`${stood}`, `${stood + 1}`]);
  });

  it('keeps to its minutes, within a take', () => {
    for (const [out, minutes] of [
      [first, 8],
      [second, 12],
    ] as const) {
      const seconds = [...out.matchAll(/^ *([\d.]+) {2}done:/gm)].reduce(
        (sum, [, at]) => sum + Number(at),
        0,
      );
      expect(seconds / 60).toBeLessThan(minutes + 2);
    }
  });
});
