// A lesson from the teacher to the pupils and back, on the command line.

import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();
// Settings that another test leaves, such as the player's name, mean nothing here.
const home = process.env.FETTLE_HOME;
process.env.FETTLE_HOME = folder;
afterAll(() => {
  process.env.FETTLE_HOME = home;
});
const at = (name: string) => join(folder, name);
const lesson = at('monday.lesson');

const workOn = (what: string, record: string, more = '', from = 'model:exact') =>
  fettle(`work ${what} --fast --from ${from} --record ${at(record)} ${more}`);
const work = (record: string, more = '') => workOn(lesson, record, more);
const giveBack = (record: string, name: string, more = '') =>
  fettle(
    `lesson return ${lesson} --record ${at(record)} --name ${name} --out ${at(`${name}.return`)} ${more}`,
  );

beforeAll(async () => {
  const made = await fettle([
    ...['lesson', 'new', lesson, 'slipway', '--bars', '2', '--drill', 'landings', '--passes', '1'],
    ...['--tempo', '72', '--title', 'Harbour concert', '--teacher', 'Oda Fenn', '--due', '2099-12-03'],
    ...['--word', 'Keep the air moving.'],
  ]);
  expect(made.err).toBe('');
  const added = await fettle(`lesson add ${lesson} slipway --bars 1 --drill through --goal 63 --tempo 60`);
  expect(added.err).toBe('');
});

describe('a lesson', () => {
  it('asks the pupil for an even touch where the teacher did', async () => {
    const touch = at('touch.lesson');
    await fettle(`lesson new ${touch} slipway --bars 1 --drill through --passes 1 --tempo 60 --touch even`);
    expect((await fettle(`lesson show ${touch}`)).out).toContain('    steady, an even touch, 1 clean take');
    await workOn(touch, 'touch.db');
    await fettle(`record export ${at('touch.jsonl')} --record ${at('touch.db')}`);
    expect(readFileSync(at('touch.jsonl'), 'utf8')).toContain('"evenTouch":true');
  });

  it('tells which of several passages cannot be worked so', async () => {
    // For the keyboard there is no table that says which interval is the hardest.
    const ran = await fettle(`lesson new ${at('two.lesson')} slipway crosstide --drill widening`);
    expect(ran.err).toContain('no snag is named, in crosstide\n');
    expect(ran.err).toContain('fettle lesson add takes crosstide by itself');
    expect(ran.status).toBe(2);
  });

  it('is listed with its steps, its day and the teacher\u2019s word', async () => {
    const { out, status } = await fettle(['lesson', 'show', lesson]);
    expect(status).toBe(0);
    expect(out).toContain('Harbour concert, from Oda Fenn, made on ');
    expect(out).toContain(' 1. Slipway at First Light, bar 2: landings, 72 a minute: 4 steps');
    expect(out).toContain('by 2099-12-03');
    expect(out).toContain('"Keep the air moving."');
    expect(out).toContain(' 2. Slipway at First Light, bar 1: through, 60 to 63 a minute: 1 step');
  });

  it('runs in order, goes on where it stopped, and passes by what is done', async () => {
    const all = await work('ilse.db');
    expect(all.out).toContain('Assignment 1 of 2, by 2099-12-03. "Keep the air moving."');
    expect(all.out.indexOf('step 1 of 4, landings')).toBeLessThan(all.out.indexOf('step 1 of 1, through'));
    const again = await work('ilse.db');
    expect(again.out).toMatch(/landings, 72 a minute: done on \d{4}-/);
    expect(again.out).toMatch(/through, 60 to 63 a minute: done on \d{4}-/);
    expect(again.out).toContain('Nothing of it is left to be worked.');
    expect(again.out).not.toContain('step 1 of 4');
    const afresh = await work('ilse.db', '--afresh');
    expect(afresh.out).toContain('step 1 of 4');
    const one = await workOn(`${lesson}#2`, 'bram.db');
    expect(one.out).not.toContain('step 1 of 4');
    expect(one.out).toContain('step 1 of 1, through');
  });

  it('is left after the minutes, and goes on at the step and in the assignment where it was left', async () => {
    const long = at('long.lesson');
    await fettle(['lesson', 'new', long, 'slipway', '--drill', 'landings', '--tempo', '60', '--passes', '4']);
    const aMinute = () => workOn(long, 'long.db', '--minutes 1');
    const first = await aMinute();
    const [, left, of] = [...first.out.matchAll(/step (\d+) of (\d+),/g)].at(-1)!;
    expect(Number(left)).toBeGreaterThan(1);
    const second = await aMinute();
    expect(second.out).toContain(`Taken up at step ${left} of ${of}.`);
    expect(second.out).toContain(`: ${Number(left) - 1} of ${of} steps`);
  });

  it('says itself what is worked: an option that would change it is refused, a setting is not asked', async () => {
    for (const option of ['--tempo 60', '--drill chain', '--bars 1', '--tolerance rough', '--step-by-step']) {
      const refused = await work('ilse.db', option);
      expect([refused.status, refused.err]).toEqual([
        2,
        expect.stringContaining(`Cannot use ${option.split(' ')[0]} with a lesson`),
      ]);
    }
    await fettle('set tolerance rough');
    const { out } = await work('set.db');
    await fettle('set tolerance --forget');
    expect(out).toContain('steady, 1 clean take in a row a step');
    expect(out).toContain('4 of 4 steps passed');
  });

  it('is no passage for other commands, and its assignments are', async () => {
    for (const command of ['show', 'check', 'steps', 'fingering', 'sheet', 'survey']) {
      const { status, err } = await fettle([command, lesson]);
      expect([command, status, err]).toEqual([
        command,
        3,
        expect.stringContaining(`Cannot take "${lesson}" for a passage: it is a lesson`),
      ]);
      expect(err).toContain('fettle lesson show');
    }
    const shown = await fettle(['show', `${lesson}#2`]);
    expect([shown.status, shown.out]).toEqual([0, expect.stringContaining('Slipway at First Light')]);
    const none = await fettle(['show', `${lesson}#3`]);
    expect([none.status, none.err]).toEqual([3, expect.stringContaining('Cannot find assignment 3')]);
  });

  it('is not written over unasked, and nothing that cannot be worked is handed out', async () => {
    const before = readFileSync(lesson, 'utf8');
    const over = await fettle(['lesson', 'new', lesson, 'slipway']);
    expect([over.status, over.err]).toEqual([2, expect.stringContaining('--force')]);
    for (const [words, status] of [
      ['slipwya', 3],
      ['slipway --bars 77', 2],
      ['slipway --drill landing', 2],
      ['slipway --goal 40 --tempo 60', 2],
      ['slipway --goal 90 --passes 2', 2],
      ['slipway --due 2020-01-01', 2],
      ['slipway --due tomorrow', 2],
      ['slipway --bars 2 --drill widening --snag 99', 2],
    ] as const) {
      const refused = await fettle(['lesson', 'add', lesson, ...words.split(' ')]);
      expect([words, refused.status]).toEqual([words, status]);
      expect(refused.err).toMatch(/^fettle: Cannot /);
    }
    expect(readFileSync(lesson, 'utf8')).toBe(before);
  });
});

describe('what comes back', () => {
  beforeAll(async () => {
    await work('ilse.db');
    await workOn(`${lesson}#1`, 'haru.db', '', 'model:pupil,seed=3,snag=10');
  });

  it('needs a name, is written over only when asked, and says what is in it', async () => {
    const nameless = await fettle(['lesson', 'return', lesson, '--record', at('ilse.db')]);
    expect([nameless.status, nameless.err]).toEqual([2, expect.stringContaining('--name')]);
    const written = await giveBack('ilse.db', 'Ilse');
    expect([written.status, written.out]).toEqual([0, expect.stringContaining('2 of 2 assignments over')]);
    expect((await giveBack('ilse.db', 'Ilse')).status).toBe(2);
    expect((await giveBack('ilse.db', 'Ilse', '--force')).status).toBe(0);
    expect((await giveBack('nobody.db', 'Nobody')).err).toContain('There is no practice record yet');
    await workOn('ropewalk', 'other.db', '--bars 1');
    expect((await giveBack('other.db', 'Other')).err).toContain('nothing of it has been played yet');
  });

  it('shows one pupil, and a class with wide names, as lines, as JSON and as a page', async () => {
    await giveBack('haru.db', '\u5c0f\u6625');
    const one = await fettle(['lesson', 'read', at('Ilse.return')]);
    expect(one.out).toMatch(/Ilse, returned on .*judged again here\./);
    expect(one.out).toMatch(/done on \d{4}-\d\d-\d\d; clean in pieces at 72; \d+ % of/);
    const page = at('class.html');
    const both = await fettle([
      'lesson',
      'read',
      at('Ilse.return'),
      at('\u5c0f\u6625.return'),
      '--out',
      page,
    ]);
    expect(both.status).toBe(0);
    expect(both.out).toContain('Harbour concert: 2 pupils');
    expect(both.out).toMatch(/^ {4}\u5c0f\u6625 {2}.*\d of 4 steps|^ {4}\u5c0f\u6625 {2}done on/m);
    expect(readFileSync(page, 'utf8')).toContain('<h2>Who has done what</h2>');
    expect((await fettle(['lesson', 'read', at('Ilse.return'), '--out', page])).status).toBe(2);
    const json = JSON.parse((await fettle(['lesson', 'read', at('Ilse.return'), '--json'])).out);
    expect(json).toMatchObject({
      format: 1,
      lesson: { title: 'Harbour concert' },
      pupils: [{ name: 'Ilse' }],
    });
    expect(json.pupils[0].assignments[0]).toMatchObject({
      state: 'done',
      steps: 4,
      passed: 4,
      inPiecesBpm: 72,
    });
  });

  it('takes two returns of one pupil together, and says so', async () => {
    const twin = at('ilse-again.return');
    writeFileSync(twin, readFileSync(at('Ilse.return')));
    const { out } = await fettle(['lesson', 'read', at('Ilse.return'), twin]);
    expect(out).toContain('2 returns of Ilse are taken together');
    const alone = await fettle(['lesson', 'read', at('Ilse.return')]);
    const takes = (text: string) => /(\d+) takes on/.exec(text)?.[1];
    expect(takes(out)).toBe(takes(alone.out));
    const judged = (text: string) => /All \d+ takes were judged again here/.exec(text)?.[0];
    expect(judged(alone.out)).toBeDefined();
    expect(judged(out)).toBe(judged(alone.out));
  });

  it('leaves out what it cannot trust, names it, and shows the rest', async () => {
    const edited = at('edited.return');
    writeFileSync(
      edited,
      readFileSync(at('\u5c0f\u6625.return'), 'utf8').replace(/"velocity":\d+/, '"velocity":1'),
    );
    const foreign = at('foreign.return');
    const elsewhere = at('tuesday.lesson');
    await fettle(['lesson', 'new', elsewhere, 'slipway', '--bars', '2']);
    await fettle(`lesson return ${elsewhere} --record ${at('ilse.db')} --name Jorun --out ${foreign}`);
    const read = await fettle([
      'lesson',
      'read',
      at('Ilse.return'),
      edited,
      at('missing.return'),
      lesson,
      foreign,
      at('\u5c0f\u6625.return'),
    ]);
    expect(read.out).toContain('Harbour concert: 2 pupils');
    expect(read.out).not.toContain('Jorun');
    expect(read.err).toContain(`Cannot use ${edited}: it is not as Fettle wrote it for \u5c0f\u6625`);
    expect(read.err).toContain(`Cannot open "${at('missing.return')}": there is no such file`);
    expect(read.err).toContain(`Cannot read ${lesson}: it is a lesson, not what came back of a lesson`);
    expect(read.err).toContain(`Left out ${foreign}: it is of another lesson, tuesday`);
    expect(process.exitCode).toBe(3);
    process.exitCode = 0;
    const alone = await fettle(['lesson', 'read', edited]);
    expect([alone.status, alone.out]).toEqual([3, '']);
  });

  it('is named where it is opened as something else', async () => {
    const { status, err } = await fettle(['work', at('Ilse.return')]);
    expect([status, err]).toEqual([3, expect.stringContaining('it is what came back of a lesson')]);
    expect((await fettle(['lesson', 'show', at('Ilse.return')])).err).toContain(
      'it is what came back of a lesson, no lesson',
    );
  });
});
