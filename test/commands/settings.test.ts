import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { openRecord } from '../../src/commands/record-argument.ts';
import { fettle } from './run.ts';

const folders: string[] = [];
let home = '';
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'fettle-settings-'));
  folders.push(home);
  vi.stubEnv('FETTLE_HOME', home);
});
afterAll(() => {
  vi.unstubAllEnvs();
  for (const folder of folders) rmSync(folder, { recursive: true });
});

describe('fettle set', () => {
  it('lists what can be set, and what is set', async () => {
    expect((await fettle('set')).out).toMatch(/^instrument +- /);
    await fettle('set instrument alto-sax');
    const { out } = await fettle('set');
    expect(out).toMatch(/^instrument +alto-sax /);
    for (const name of ['input', 'tolerance', 'click', 'player'])
      expect(out).toMatch(new RegExp(`^${name} +- `, 'm'));
    expect(out).toContain(join(home, 'settings.json'));
  });

  it('stands for the option where none was typed, and only there', async () => {
    // Written D4 sounds F3 on an alto saxophone in E flat, C4 on the clarinet that the passage is for (facts.md 6).
    const lowest = async (words: string) =>
      JSON.parse((await fettle(`steps slipway --onsets 1-2 --drill through --json ${words}`)).out).steps[0]
        .onsets[0].pitches[0];
    expect(await lowest('')).toBe(60);
    await fettle('set instrument alto-sax');
    expect(await lowest('')).toBe(53);
    expect(await lowest('--instrument clarinet')).toBe(60);
    await fettle('set instrument --forget');
    expect(await lowest('')).toBe(60);
  });

  it('says how strictly takes are judged and who plays', async () => {
    await fettle('set tolerance concert');
    await fettle('set input model:exact');
    const record = join(home, 'kept.db');
    await fettle(`work slipway --bars 1 --fast --passes 1 --record ${record}`);
    const opened = await openRecord({ record }, false);
    const [entry] = await opened.headings();
    opened.close();
    expect(entry).toMatchObject({ toleranceName: 'concert', source: expect.stringContaining('model') });
    expect((await fettle('calibrate --from model --fast')).status).toBe(0);
  });

  it.each([
    ['set intsrument alto-sax', 2, /no such setting/, /Did you mean instrument/],
    ['set instrument alto-sacks', 2, /it is not known/, /Did you mean alto-sax/],
    ['set tolerance strict', 2, /rough, steady or concert/],
    ['set click moon', 2, /it goes to sound/],
    ['set player ../lena', 2, /Cannot use the player's name/],
    ['set --forget', 2, /which setting/],
    ['set instrument alto-sax --forget', 2, /at once/],
  ])('%s is refused', async (line, status, ...words) => {
    const ran = await fettle(line as string);
    for (const word of words) expect(ran.err).toMatch(word as RegExp);
    expect(ran.status).toBe(status);
    expect(existsSync(join(home, 'settings.json'))).toBe(false);
  });

  it('tells where a value comes from that nobody typed', async () => {
    writeFileSync(join(home, 'settings.json'), '{"tolerance": "weird"}');
    const ran = await fettle('work slipway --from model --fast');
    expect(ran.err).toBe(
      'fettle: Cannot set the tolerance "weird": rough, steady or concert is needed\n  It was set with fettle set; fettle set tolerance --forget takes it back.',
    );
    expect(ran.status).toBe(2);
  });

  it.each([
    ['{"instrument": ', 'it is no JSON, or it is cut off'],
    ['\u0000', 'it is no JSON, or it is cut off'],
    ['["steady"]', 'it is not a list of names and values'],
    [undefined, 'it is a folder'],
  ])('says of %s what is wrong with the file', async (text, why) => {
    const place = join(home, 'settings.json');
    if (text === undefined) mkdirSync(place);
    else writeFileSync(place, text);
    expect((await fettle('show slipway')).err).toContain(`Cannot read the settings in ${place}: ${why}\n`);
  });

  it('tells a file that it cannot read and leaves it as it is', async () => {
    writeFileSync(join(home, 'settings.json'), '{"instrument": ');
    const ran = await fettle('show slipway');
    expect(ran.err).toMatch(/Cannot read the settings in .*settings.json/);
    expect(ran.status).toBe(5);
    expect(readFileSync(join(home, 'settings.json'), 'utf8')).toBe('{"instrument": ');
  });
});

describe('several people at one computer', () => {
  it('have a record each, and the one who was named last is remembered', async () => {
    const play = (words: string) =>
      fettle([
        'capture',
        '--from',
        'nowhere.mid',
        '--fast',
        '--yes',
        '--out',
        join(home, 'a.abc'),
        ...words.split(' '),
      ]);
    expect((await play('--player Lena')).status).toBe(3);
    expect(readFileSync(join(home, 'settings.json'), 'utf8')).toContain('"player": "Lena"');
    const lena = await openRecord({ player: 'Lena' }, false);
    const other = await openRecord({ player: 'Ole' }, false);
    const nobody = await openRecord({}, false);
    expect(new Set([lena.place, other.place, nobody.place]).size).toBe(3);
    for (const { place } of [lena, other, nobody]) expect(place.startsWith(home)).toBe(true);
    lena.remember('input', 'Tidewrack keys');
    expect(other.recall('input')).toBeUndefined();
    for (const record of [lena, other, nobody]) record.close();
  });

  it.each(['progress', 'today', 'record', 'record verify', `report --out HOME/a.html`])(
    'are looked at by fettle %s without taking the place of the one who plays',
    async (line) => {
      (await openRecord({ player: 'Lena' }, false)).close();
      await fettle('set player Ole');
      const ran = await fettle(`${line.replace('HOME', home)} --player Lena`);
      expect(ran.err).toBe('');
      expect(readFileSync(join(home, 'settings.json'), 'utf8')).toContain('"player": "Ole"');
    },
  );

  it.each(['progress', 'today', 'record', 'report'])(
    'who have never played are not taken for new ones by fettle %s',
    async (line) => {
      (await openRecord({ player: 'Lena' }, false)).close();
      const ran = await fettle(`${line} --player Lina`);
      expect(ran.err).toBe(
        'fettle: Cannot find the record of "Lina": nobody of that name has played on this computer\n  Did you mean lena?',
      );
      expect(ran.status).toBe(2);
      expect(existsSync(join(home, 'players', 'lina'))).toBe(false);
      expect(existsSync(join(home, 'settings.json'))).toBe(false);
    },
  );

  it('are named in their takes', async () => {
    const record = join(home, 'kept.db');
    await fettle(
      `work slipway --bars 1 --from model:exact --fast --passes 1 --player Lena --record ${record}`,
    );
    const opened = await openRecord({ record }, false);
    expect((await opened.headings()).map((entry) => entry.player)).toContain('Lena');
    opened.close();
  });
});
