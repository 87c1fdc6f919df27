import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();
const record = join(folder, 'practice.db');
const at = (name: string) => join(folder, name);

const work = (words: string) => fettle(`work ${words} --from model --fast --plain --record ${record}`);

beforeAll(async () => {
  for (const words of ['slipway --bars 1-2', 'lanterns --bars 1'])
    expect((await work(`${words} --drill landings --passes 1`)).status).toBe(0);
});

describe('a day', () => {
  it('is planned from the record, in turns', async () => {
    const { out } = await fettle(['today', '--minutes', '12', '--record', record]);
    const commands = out.split('\n').filter((line) => line.includes('fettle work'));
    expect(commands).toHaveLength(4);
    const passages = commands.map((line) => /fettle work (\S+)/.exec(line)![1]);
    expect(new Set(passages)).toEqual(new Set(['slipway', 'lanterns']));
    for (const [i, passage] of passages.entries()) expect(passage).not.toBe(passages[i + 1]);
  });

  it('names a file and a part as they have to be typed', async () => {
    const tune = at('two tides.abc');
    writeFileSync(
      tune,
      'X:1\nT:Tides\nM:4/4\nL:1/4\nQ:1/4=60\nK:C\nV:1 name="Clarinet in A"\nV:2 name="Low Clarinet"\nV:1\nCDEF|G4|\nV:2\nEFGA|B4|\n',
    );
    const own = at('tides.db');
    await fettle([
      ...['work', tune, '--part', 'Low Clarinet', '--from', 'model:exact', '--fast', '--passes', '1'],
      ...['--record', own],
    ]);
    const { out } = await fettle(['today', '--record', own]);
    expect(out).toContain(`fettle work "${tune}" --part "Low Clarinet" `);
  });

  it('is worked without naming a passage, each slice for its minutes', async () => {
    const before = JSON.parse((await fettle(['progress', '--json', '--record', record])).out);
    const ran = await work('--minutes 6');
    expect(ran.status).toBe(0);
    expect(ran.out.match(/done: /g)).toHaveLength(2);
    const after = JSON.parse((await fettle(['progress', '--json', '--record', record])).out);
    const takes = ({ passages }: { passages: { takes: number }[] }) =>
      passages.reduce((sum, passage) => sum + passage.takes, 0);
    expect(takes(after)).toBeGreaterThan(takes(before));
  });

  it('has goals that are kept, told and forgotten', async () => {
    const set = await fettle(['goal', 'slipway', '--bars', '1-2', '--by', '2099-03-14', '--record', record]);
    expect(set.out).toContain('72 a minute by 2099-03-14');
    expect((await fettle(['goal', '--record', record])).out).toContain(
      'slipway, onsets 1 to 12: 72 a minute',
    );
    expect((await fettle(['progress', 'slipway', '--record', record])).out).toContain(
      'The goal is 72 by 2099-03-14',
    );
    await fettle(['goal', 'slipway', '--forget', '--record', record]);
    expect((await fettle(['goal', '--record', record])).out).toContain('No goals yet');
  });

  it('counts in words that fit one and many', async () => {
    expect((await fettle('steps slipway --bars 1 --drill through')).out).toContain(': 1 step\n');
    const one = at('one.db');
    await fettle(
      `work slipway --bars 1 --from model:exact --fast --drill through --passes 1 --record ${one}`,
    );
    const { out } = await fettle(`progress slipway --bars 1 --record ${one}`);
    expect(out).toMatch(/^ {2}through +1 take, +1 clean/m);
  });

  it('refuses a day that is past, or none', async () => {
    const past = await fettle(['goal', 'slipway', '--by', '2001-01-01', '--record', record]);
    expect([past.status, past.err]).toEqual([2, expect.stringContaining('a day after today is needed')]);
    const none = await fettle(['goal', 'slipway', '--by', '2027-02-30', '--record', record]);
    expect(none.err).toContain('Cannot use the day "2027-02-30"');
  });

  it('is told in a page, and no file is written over unasked', async () => {
    const words = ['report', 'slipway', '--record', record, '--out', at('page.html')];
    expect((await fettle(words)).status).toBe(0);
    expect(readFileSync(at('page.html'), 'utf8')).toContain('<h1>Slipway at First Light</h1>');
    expect((await fettle(words)).err).toContain('there is such a file already');
    expect((await fettle(['report', '--record', record, '--out', at('all.html')])).status).toBe(0);
    expect(readFileSync(at('all.html'), 'utf8')).toContain('<td>lanterns</td>');
  });
});
