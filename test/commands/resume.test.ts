// `fettle work` a second time, on another day: the record of the first is put back in time by hand.

import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { openDatabase } from '../../src/devices/database.ts';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();
const record = join(folder, 'practice.db');
const WORK = `work slipway --bars 2 --from model:exact --fast --passes 2 --record ${record}`;

async function change(sql: string): Promise<void> {
  const database = await openDatabase(record);
  database.execute(sql);
  database.close();
}

const steps = (out: string) => [...out.matchAll(/ {2}step (\d) of 4,/g)].map(([, number]) => Number(number));

// Four steps: the first is passed, the second left in the middle.
beforeAll(async () => {
  await fettle(WORK);
  await change('DELETE FROM take WHERE step >= 2 OR (step = 1 AND onward = 1)');
});

describe('work that was left', () => {
  it('is taken up at its step on the same day', async () => {
    await change("UPDATE take SET date = '2026-03-02T09:00:00.000+00:00', day = '2026-03-02'");
    const { out } = await fettle(`${WORK} --bars 2`);
    expect(out).toContain('Taken up at step 2 of 4. --afresh begins again.');
    expect(steps(out)).toEqual([2, 3, 4]);
    expect(out).toContain('4 of 4 steps passed');
    await change('DELETE FROM take WHERE id > 3');
  });

  it('asks on another day for the step before once more, clean, and then goes on', async () => {
    await change("UPDATE take SET date = '2026-03-01T09:00:00.000+00:00', day = '2026-03-01'");
    const { out } = await fettle(WORK);
    expect(out).toContain(
      'Taken up at step 2 of 4, left on 2026-03-01: first step 1 once more, clean, to see whether it held. --afresh begins again.',
    );
    expect(steps(out)).toEqual([1, 2, 3, 4]);
    // Once is enough there; after it the gate is as asked.
    const verdicts = out.split('\n').filter((line) => line.includes('+ Clean'));
    expect(verdicts).toHaveLength(1 + 2 + 2 + 2);
    await change('DELETE FROM take WHERE id > 3');
  });

  it('asks on another day for the last step alone where all were passed, at the same tempo', async () => {
    const done = WORK.replace(record, join(folder, 'done.db'));
    const all = await fettle(done);
    expect(steps(all.out)).toEqual([1, 2, 3, 4]);
    const database = await openDatabase(join(folder, 'done.db'));
    database.execute("UPDATE take SET date = '2026-03-01T09:00:00.000+00:00', day = '2026-03-01'");
    database.close();
    const faster = await fettle(`${done} --tempo 50`);
    expect(steps(faster.out)).toEqual([1, 2, 3, 4]);
    const again = await openDatabase(join(folder, 'done.db'));
    again.execute('DELETE FROM take WHERE tempo_bpm = 50');
    again.close();
    const { out } = await fettle(done);
    expect(out).toContain(
      'All 4 steps were passed on 2026-03-01: the last one once more, clean, to see whether it held. --afresh begins again.',
    );
    expect(steps(out)).toEqual([4]);
    expect(out.match(/\+ Clean/g)).toHaveLength(1);
    // The same day: what was passed again begins anew.
    expect(steps((await fettle(done)).out)).toEqual([1, 2, 3, 4]);
  });

  it('begins again with --afresh, with other music and with another drill', async () => {
    for (const other of [`${WORK} --afresh`, WORK.replace('--bars 2', '--bars 1'), `${WORK} --drill chain`]) {
      const { out } = await fettle(other);
      expect(out).not.toContain('Taken up');
      await change('DELETE FROM take WHERE id > 3');
    }
  });
});

describe('work that was left, without a word on how to go on', () => {
  const row = join(folder, 'row.db');
  const played = `--from model:exact --fast --plain --passes 1 --record ${row}`;
  const steps7 = (out: string) =>
    [...out.matchAll(/ {2}step (\d) of 7, (\w+)/g)].map(([, ...one]) => one.join(' '));

  async function leave(sql: string): Promise<void> {
    const database = await openDatabase(row);
    database.execute(`${sql}; UPDATE take SET date = '2026-03-01T09:00:00.000+00:00', day = '2026-03-01'`);
    database.close();
  }

  // Seven steps: four of the first drill, three of the second, of which one is passed.
  beforeAll(async () => {
    await fettle(`work slipway --bars 2 --tempo 50 --drill landings,chain ${played}`);
    await leave('DELETE FROM take WHERE step >= 5');
  });

  it('is gone on with: all drills of its row, its bars and its tempo', async () => {
    const { out } = await fettle(`work slipway ${played}`);
    expect(out).toContain('Going on with landings, chain, onsets 7 to 12, at 50 a minute.');
    expect(out).toContain('Taken up at step 6 of 7, left on 2026-03-01: first step 5 once more');
    expect(steps7(out)).toEqual(['5 chain', '6 chain', '7 chain']);
    expect(out).toContain('7 of 7 steps passed');
    await leave('DELETE FROM take WHERE id > 5');
  });

  it('is gone on with by the plan of the day', async () => {
    const { out } = await fettle(`work --minutes 3 ${played}`);
    expect(out).toContain('--onsets 7-12 --drill landings,chain --tempo 50');
    expect(steps7(out)).toEqual(['5 chain', '6 chain', '7 chain']);
    await leave('DELETE FROM take WHERE id > 5');
  });

  it('gives way to what is typed, and to --afresh', async () => {
    expect((await fettle(`work slipway --tempo 60 ${played}`)).out).toContain(
      'onsets 7 to 12, at 60 a minute.',
    );
    await leave('DELETE FROM take WHERE id > 5');
    expect((await fettle(`work slipway --drill chain --bars 1 ${played}`)).out).not.toContain('Going on');
    await leave('DELETE FROM take WHERE id > 5');
    expect((await fettle(`work slipway --bars 2 --afresh ${played}`)).out).toMatch(/step 1 of 4, landings/);
    await leave('DELETE FROM take WHERE id > 5');
  });

  it('passes by what was skipped: the last passed step is asked for, then the one that was left', async () => {
    await leave(
      "DELETE FROM take WHERE id > 3; UPDATE take SET ended = 'skipped', onward = 0 WHERE id IN (2, 3)",
    );
    const { out } = await fettle(`work slipway ${played}`);
    expect(steps7(out).map((step) => step[0])).toEqual(['1', '4', '5', '6', '7']);
    expect(out).toContain('5 of 7 steps passed, 2 skipped');
  });
});

describe('a ladder that was left', () => {
  it('goes on from its rung, and --afresh from the bottom', async () => {
    const climb = `work slipway --bars 1 --from model:nervous,seed=2 --fast --plain --ladder 60-96 --record ${join(folder, 'ladder.db')}`;
    const first = await fettle(`${climb} --minutes 1`);
    expect(first.out).not.toContain('The ladder goes on');
    const tempi = (out: string) =>
      [...out.matchAll(/ ([\d.]+) a minute, lead-in/g)].map(([, bpm]) => Number(bpm));
    const left = tempi(first.out).at(-1)!;
    expect(left).toBeGreaterThan(60);
    const second = await fettle(`${climb} --minutes 1`);
    expect(second.out).toContain('The ladder goes on from rung');
    expect(tempi(second.out)[0]).toBeGreaterThanOrEqual(left);
    const afresh = await fettle(`${climb} --minutes 1 --afresh`);
    expect(tempi(afresh.out)[0]).toBe(60);
  });
});
