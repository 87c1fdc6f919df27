// Titles and names in scripts whose characters take two cells, none, or run from right to left. How many cells a line
// takes is told by a terminal emulator (xterm), which counts for itself.

import { Terminal } from '@xterm/headless';
import { afterAll, describe, expect, it } from 'vitest';
import { newCanvas, put, putWrapped, toFrame, wrap } from '../../src/screen/canvas.ts';
import { draw } from '../../src/screen/draw.ts';
import { startPlayers, startState } from '../../src/screen/start-choice.ts';
import { drawStart } from '../../src/screen/start-screen.ts';
import { listPassage } from '../../src/wording/listing/passage.ts';
import { cutToWidth, textWidth } from '../../src/wording/text-width.ts';
import { madePassage, quarters } from '../notation/made-passage.ts';
import { sample } from '../sample.ts';
import { playScript, readScript, tuneLines } from '../sessions/script.ts';
import { plainText, seen } from './emulator.ts';

const SIZE = { columns: 80, rows: 24 };
/** The ordinary one and the smallest first. */
const SIZES = [SIZE, { columns: 23, rows: 6 }, { columns: 60, rows: 16 }, { columns: 40, rows: 10 }].slice(
  0,
  sample(4, 1),
);

const TITLES = {
  Japanese: '夜明けの船台',
  'Japanese longer than a line': '夜明けの船台に集まる人々の歌'.repeat(5),
  'half-width Japanese with marks': 'ﾐﾅﾄﾉｳﾀ ﾊﾞﾝﾄﾞ',
  Korean: '새벽의 항구 노래',
  'English and Chinese': 'Slipway 黎明的港口 at first light',
  Hebrew: 'שיר הנמל עם שחר',
  'Hebrew with points': 'שִׁיר הַנָּמֵל',
  'Arabic with marks': 'أُغْنِيَةُ الْمِينَاءِ عِنْدَ الْفَجْرِ',
  'letters with marks of their own': 'E\u0301tude a\u0300 la mare\u0301e',
  Hindi: 'बंदरगाह का गीत',
  'a sign that turns the line round': 'Slipway \u202eat dawn',
  'a tab and an escape code': 'Slip\tway\u001b[31m red',
};

describe.each(Object.entries(TITLES))('a title in %s', (_, title) => {
  const tune = tuneLines('CDEF | GABc |]', { title });

  it.each(SIZES)('leaves every line of a session as wide as the frame, $columns columns', async (size) => {
    const script = await readScript(`${tune}\nset drill landings\nset passes 1`);
    const { session: begun } = playScript(script);
    const { passage } = begun.plan.span;
    // The reader of ABC may clean a title; the screen takes it as any reader gives it.
    const plan = { ...begun.plan, span: { ...begun.plan.span, passage: { ...passage, title } } };
    for (const session of [begun, { ...begun, status: 'finished' as const }]) {
      for (const source of ['Tidewrack keys', title]) {
        const drawn = draw({ ...session, plan, notice: { kind: 'passed-on', text: title } }, size, {
          unicode: false,
          source,
        });
        await expectFits(plainText(drawn), size.columns);
      }
    }
  });

  it.each(SIZES)(
    'leaves every line of the start screen as wide as the frame, $columns columns',
    async (size) => {
      const passages = ['slipway', title].map((name) => ({
        name,
        description: title,
        goalBpm: 72,
        bars: [{ number: 1 }],
      }));
      const drills = [{ name: title, words: title }];
      for (const inputs of [[title, 'Tidewrack keys'], []]) {
        const given = {
          players: startPlayers(inputs),
          passages,
          drills,
          plans: [{ minutes: 20, lines: [title] }],
          reach: 17,
          trouble: title,
          silence: title,
        };
        for (const focus of ['today', 'player', 'passage', 'bars', 'tempo', 'drill', 'time'] as const) {
          const start = { ...startState(given), focus, refusal: title };
          await expectFits(plainText(drawStart(start, size)), size.columns);
        }
      }
    },
  );

  it.each([40, 80])('leaves no line of the listing wider than %i cells', async (columns) => {
    const made = madePassage(quarters(9), {
      instruments: ['clarinet', 'keyboard'],
      marks: { [title]: 4 },
    });
    const parts = made.parts.map((part) => ({ ...part, name: title }));
    const lines = listPassage({ ...made, title, composer: title, parts }, columns);
    for (const [i, cells] of (await cellsOf(lines)).entries()) {
      expect(cells, lines[i]).toBeLessThanOrEqual(columns);
    }
  });
});

it('a wide rehearsal mark in a listing moves nothing to the right of it', () => {
  const cellsBeforeBar2 = (mark: string) => {
    const lines = listPassage(madePassage(quarters(9), { marks: { [mark]: 0 } }));
    return textWidth(lines.find((line) => line.includes(mark))!.split('bar 2')[0]!);
  };
  expect(cellsBeforeBar2('祭り')).toBe(cellsBeforeBar2('Feast'));
});

describe('what stands in a frame', () => {
  it('is the title itself, in the cells that are counted for it', async () => {
    const canvas = newCanvas({ columns: 20, rows: 1 });
    put(canvas, 0, 2, '祭りの歌');
    put(canvas, 0, 11, 'e\u0301|');
    expect(plainText(toFrame(canvas))).toEqual([`  祭りの歌 e\u0301|${' '.repeat(7)}`]);
    expect(await seen(plainText(toFrame(canvas)).join(''), { columns: 20, rows: 1 })).toEqual([
      '  祭りの歌 e\u0301|',
    ]);
  });

  it('ends before a wide character of which one half would be outside', () => {
    expect(lineOf(5, [0, '祭りの'])).toBe('祭り ');
    expect(lineOf(5, [-1, '祭りの'])).toBe(' りの');
  });

  it('keeps no half of a wide character that is written over', () => {
    expect(lineOf(6, [0, '祭りの'], [1, 'x'])).toBe(' xりの');
    expect(lineOf(6, [0, '祭りの'], [2, 'x'])).toBe('祭x の');
    expect(lineOf(6, [0, '祭りの'], [1, '歌'])).toBe(' 歌 の');
  });

  it('has no mark without a letter, and no sign that turns what comes after it', () => {
    expect(lineOf(4, [0, '\u0301ab'])).toBe('ab  ');
    expect(lineOf(4, [0, 'a\u202eb'])).toBe('ab  ');
  });

  it('is wrapped between words, and within a word that is longer than the line', () => {
    expect(wrap('夜明けの 船台 at dawn', 9)).toEqual(['夜明けの', '船台 at', 'dawn']);
    expect(wrap('夜明けの船台', 5)).toEqual(['夜明', 'けの', '船台']);
    expect(wrap('Slip slipways', 6)).toEqual(['Slip', 'slipwa', 'ys']);
    const canvas = newCanvas({ columns: 12, rows: 3 });
    expect(putWrapped(canvas, 0, 1, '夜明けの船台', { width: 6, rows: 1 })).toBe(1);
    expect(plainText(toFrame(canvas))[0]).toBe(' 夜 ...     '.padEnd(11));
  });

  it('is cut between characters, marks with their letter', () => {
    expect(cutToWidth('e\u0301e\u0301e\u0301', 2)).toBe('e\u0301e\u0301');
    expect(cutToWidth('祭り', 3)).toBe('祭');
    expect(textWidth('祭りe\u0301')).toBe(5);
  });
});

// Helpers

function lineOf(columns: number, ...texts: readonly (readonly [column: number, text: string])[]): string {
  const canvas = newCanvas({ columns, rows: 1 });
  for (const [column, text] of texts) put(canvas, 0, column, text);
  return plainText(toFrame(canvas))[0]!;
}

async function expectFits(rows: readonly string[], columns: number): Promise<void> {
  const cells = await cellsOf(rows);
  for (const [i, row] of rows.entries()) {
    expect(row).not.toMatch(/[\x00-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]/);
    expect(cells[i], row).toBe(columns);
  }
}

const emulator = new Terminal({ cols: 400, rows: 1, allowProposedApi: true });
afterAll(() => emulator.dispose());

/** Where the emulator's cursor stands after each of the lines. */
async function cellsOf(lines: readonly string[]): Promise<number[]> {
  const ends = lines.map(
    (line) =>
      new Promise<number>((done) => {
        emulator.write('\r\x1b[2K');
        emulator.write(line, () => done(emulator.buffer.active.cursorX));
      }),
  );
  return Promise.all(ends);
}
