// The commands on the record, over what `fettle work` really kept.

import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import toneMidi from '@tonejs/midi';
import { beforeAll, describe, expect, it } from 'vitest';
import { openDatabase } from '../../src/devices/database.ts';
import { EXIT } from '../../src/problem.ts';
import { ExchangeWriter } from '../../src/record/exchange-writer.ts';
import { JUDGE_VERSION } from '../../src/take/judge-version.ts';
import { ownFolder } from '../own-folder.ts';
import { madeEntry } from '../record/made-entry.ts';
import { fettle } from './run.ts';

const folder = ownFolder();
const file = (name: string) => join(folder, name);
const record = file('practice.db');

beforeAll(async () => {
  const worked = await fettle(
    `work slipway --bars 2 --from model:beginner,seed=4 --fast --tempo 84 --drill widening --snag 10 --record ${record}`,
  );
  expect(worked.status).toBe(0);
});

async function rows(place: string, sql: string): Promise<Record<string, unknown>[]> {
  const database = await openDatabase(place);
  const found = database.all(sql, []);
  database.close();
  return found.map((row) => ({ ...row }));
}

describe('fettle record', () => {
  it('says where it is, how much is in it and whether it is whole: the counts of the tables', async () => {
    const { out, status } = await fettle(`record --record ${record}`);
    const [row] = await rows(record, 'SELECT count(*) AS takes, sum(clean) AS clean FROM take');
    expect(status).toBe(0);
    expect(out).toContain(record);
    expect(out).toContain(`${row!.takes} takes in 1 sitting on 1 day,`);
    expect(out).toContain(`${row!.clean} of them clean`);
    expect(out).toContain('The file is whole.');
    expect((await fettle(`record verify --record ${record}`)).out).toContain(
      `${row!.takes} takes read, all whole.`,
    );
  });

  it('makes none where there is none', async () => {
    const { status, err } = await fettle(`record --record ${file('none.db')}`);
    expect(status).toBe(EXIT.record);
    expect(err).toContain('There is no practice record yet');
    expect(() => readFileSync(file('none.db'))).toThrow();
  });

  it('goes to another record and back, and a second time changes nothing', async () => {
    await fettle(`record export ${file('all.jsonl')} --record ${record}`);
    const first = await fettle(`record import ${file('all.jsonl')} --record ${file('other.db')}`);
    expect(first.status).toBe(0);
    const second = await fettle(`record import ${file('all.jsonl')} --record ${file('other.db')}`);
    expect(second.out).toMatch(/: 0 of \d+ takes are new/);
    await fettle(`record export ${file('again.jsonl')} --record ${file('other.db')}`);
    expect(readFileSync(file('again.jsonl'), 'utf8')).toBe(readFileSync(file('all.jsonl'), 'utf8'));
    const refused = await fettle(`record export ${file('again.jsonl')} --record ${record}`);
    expect(refused.status).toBe(EXIT.usage);
  });

  it('is a table with a row for each take', async () => {
    await fettle(`record export ${file('all.csv')} --record ${record}`);
    const lines = readFileSync(file('all.csv'), 'utf8').trimEnd().split('\n');
    const [row] = await rows(record, 'SELECT count(*) AS takes FROM take');
    expect(lines).toHaveLength(Number(row!.takes) + 1);
    expect(lines[0]).toMatch(/^number,date,sitting,/);
    expect(lines[1]).toMatch(/,slipway,/);
  });

  it('is asked for days and passages', async () => {
    const none = await fettle(`record export ${file('none.jsonl')} --from 2031-01-01 --record ${record}`);
    expect(none.out).toContain('0 takes');
    const wrong = await fettle(`record export ${file('x.jsonl')} --from 2026-02-30 --record ${record}`);
    expect(wrong.status).toBe(EXIT.usage);
  });

  it('is exported whole where it is named, whoever was remembered, and of a player who is asked for', async () => {
    const two = file('two.db');
    const writer = new ExchangeWriter();
    const lines = [madeEntry(1), madeEntry(2, { player: 'Bo' })].flatMap((entry) => writer.take(entry));
    writeFileSync(file('two.jsonl'), lines.join('\n'));
    await fettle(`record import ${file('two.jsonl')} --record ${two}`);
    await fettle('set player Bo');
    const all = await fettle(`record export ${file('both.jsonl')} --record ${two}`);
    const one = await fettle(`record export ${file('bo.jsonl')} --record ${two} --player Ilse`);
    await fettle('set player --forget');
    expect(all.out).toContain('2 takes in');
    expect(one.out).toContain('1 take in');
  });

  it('tells a line that cannot be read and takes up the rest', async () => {
    const writer = new ExchangeWriter();
    const lines = [1, 2, 3].flatMap((order) => writer.take(madeEntry(order)));
    writeFileSync(file('torn.jsonl'), [...lines.slice(0, 3), lines[3]!.slice(0, 50), lines[4]].join('\n'));
    const { status, out, err } = await fettle(
      `record import ${file('torn.jsonl')} --record ${file('torn.db')}`,
    );
    expect(status).toBe(EXIT.unreadable);
    expect(out).toContain('2 of 2 takes are new');
    expect(err).toContain('line 4: it is no JSON, or it is cut off');
  });

  it('takes up what was saved beside it, and then it waits no more', async () => {
    const own = file('rescued');
    mkdirSync(own);
    const saved = join(own, 'fettle-take-20261123T190000000-harbour-reel-1.jsonl');
    writeFileSync(saved, new ExchangeWriter().take(madeEntry(1)).join('\n'));
    const place = join(own, 'practice.db');
    const { out } = await fettle(`record import --record ${place}`);
    expect(out).toContain('1 of 1 takes are new');
    expect(() => readFileSync(saved)).toThrow();
    expect(await rows(place, 'SELECT passage FROM take')).toEqual([{ passage: 'harbour-reel' }]);
  });

  it('is judged again: nothing changes while the judge is the same, and what changes is kept only when asked', async () => {
    const place = file('judged.db');
    await fettle(`record import ${file('all.jsonl')} --record ${place}`);
    expect((await fettle(`record rejudge --record ${place}`)).out).toMatch(/^0 of \d+ judged takes/m);
    const database = await openDatabase(place);
    const before = database.all('SELECT verdict, clean FROM take WHERE id = 1', [])[0]!;
    database.run('UPDATE take SET clean = 1 - clean, judge = 1 WHERE id = ?', [1]);
    database.close();
    const told = await fettle(`record rejudge --record ${place}`);
    expect(told.out).toMatch(/^1 of \d+ judged takes get another verdict/m);
    expect(told.out).toContain('Nothing was changed');
    expect((await fettle(`record rejudge --record ${place}`)).out).toMatch(/^1 of/m);
    expect((await fettle(`record rejudge --write --record ${place}`)).out).toContain('are kept');
    expect((await fettle(`record rejudge --record ${place}`)).out).toMatch(/^0 of/m);
    const after = (await rows(place, 'SELECT verdict, clean, judge FROM take WHERE id = 1'))[0]!;
    expect(after).toMatchObject({ verdict: before.verdict, clean: before.clean, judge: JUDGE_VERSION });
  });

  it('gives one take, as a MIDI file that another library reads alike and that is judged alike', async () => {
    const out = file('take.mid');
    const { out: told, status } = await fettle(`record take 3 --out ${out} --record ${record}`);
    expect(status).toBe(0);
    expect(told).toContain('take 3, ');
    const midi = new toneMidi.Midi(readFileSync(out));
    const notes = midi.tracks.flatMap((track) => track.notes);
    expect(told).toContain(`${notes.length} notes in`);
    expect(notes.length).toBeGreaterThan(1);
    expect((await fettle(`record take 99999 --record ${record}`)).status).toBe(EXIT.usage);
    expect((await fettle(`record take x --record ${record}`)).status).toBe(EXIT.usage);
  });

  it('names what is damaged in it, and gives the rest', async () => {
    const place = file('damaged.db');
    await fettle(`record import ${file('all.jsonl')} --record ${place}`);
    const database = await openDatabase(place);
    database.run('UPDATE take SET events = ? WHERE id = ?', [Buffer.from([9, 9]), 2]);
    database.run('UPDATE take SET tempo_bpm = ? WHERE id = ?', [-4, 3]);
    database.close();
    const verified = await fettle(`record verify --record ${place}`);
    expect(verified.status).toBe(EXIT.record);
    expect(verified.out).toMatch(/take 2: .*\n.*take 3: /s);
    const saved = await fettle(`record export ${file('whole.jsonl')} --record ${place}`);
    expect(saved.err).toMatch(/take 2 .*take 3 /s);
    const again = await fettle(`record import ${file('whole.jsonl')} --record ${file('whole.db')}`);
    expect(again.status).toBe(0);
  });
});
