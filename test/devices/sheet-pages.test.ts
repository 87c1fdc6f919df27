import { createRequire } from 'node:module';
import { beforeAll, describe, expect, it } from 'vitest';
import { openPdf } from '../../src/devices/pdf-pages.ts';
import { openEngraver } from '../../src/devices/verovio-engraver.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';
import { writeMusicXml } from '../../src/notation/musicxml/writer.ts';
import type { EngravedSystem, Engraver } from '../../src/ports/engraver.ts';
import { layOut, systemWidthPt } from '../../src/sheet/lay-out.ts';
import { makeSheet } from '../../src/sheet/make-sheet.ts';
import { line } from '../drills/line.ts';
import { value } from '../drills/made.ts';

const span = wholeSpan(line('C4 D4 Eb4 F#4'));
const sheet = value(
  makeSheet(span, {
    drills: ['landings', 'switchback'],
    settings: { tempo: span.passage.tempo },
    goalBpm: span.passage.tempo.bpm,
    subtitle: ['', ''],
  }),
);

let engraver: Engraver;
beforeAll(async () => {
  engraver = value(await openEngraver());
});

function engrave(section: number): Promise<readonly EngravedSystem[]> {
  return engraver.engrave(writeMusicXml(sheet.sections[section]!.music), { widthPt: 511 });
}

describe('an engraved sheet', () => {
  it('shows every note, and a fermata for every landing', async () => {
    const { music } = sheet.sections[1]!;
    const svg = (await engrave(1)).map((system) => system.svg).join('');
    // Code points of the Standard Music Font Layout: whole, half and black noteheads; fermatas above and below.
    const count = (signs: string) => svg.match(new RegExp(`<use [^>]*#(${signs})-`, 'g'))?.length ?? 0;
    expect(count('E0A2|E0A3|E0A4')).toBe(music.onsets.length);
    expect(count('E4C0|E4C1')).toBe(music.rehearsalMarks.length);
  });

  it('asks nothing of a style sheet or a music typeface', async () => {
    const svg = (await engrave(2)).map((system) => system.svg).join('');
    expect(svg).not.toMatch(/<style|currentColor|[\u{E000}-\u{F8FF}]/u);
  });

  it.each([
    ['a sixteenth', TICKS_PER_QUARTER / 4, 1, 0],
    ['an eighth', TICKS_PER_QUARTER / 2, 1, 0],
    ['a dotted quarter', TICKS_PER_QUARTER * 1.5, 1, 1],
    ['a half', TICKS_PER_QUARTER * 2, 1, 0],
    ['a dotted half', TICKS_PER_QUARTER * 3, 1, 1],
    ['a whole', TICKS_PER_QUARTER * 4, 0, 0],
  ])('draws the note of a tempo, which no typeface for texts has: %s', async (_, beatTicks, stems, dots) => {
    const { music } = sheet.sections[0]!;
    const systems = await engraver.engrave(writeMusicXml({ ...music, tempo: { bpm: 66, beatTicks } }), {
      widthPt: 511,
    });
    const svg = systems.map((system) => system.svg).join('');
    const [drawn] = /<g stroke="black"><ellipse.*?<\/g>/.exec(svg)!;
    expect(drawn.match(/<path d="M[\d.]+ [\d.]+ L/g) ?? []).toHaveLength(stems);
    expect(drawn.match(/<circle/g) ?? []).toHaveLength(dots);
    const right = Math.max(...[...drawn.matchAll(/c?x="([\d.]+)"/g)].map(([, x]) => Number(x)));
    const [, x, words] = /<text[^>]* x="(\d+)"[^>]*>([\s\S]*?)<\/text>/.exec(svg.slice(svg.indexOf(drawn)))!;
    expect(Number(x)).toBeGreaterThan(right + 40);
    expect(words!.replace(/<[^>]*>|\s/g, '')).toBe('=66');
  });

  it('has a title that stays inside its margins in the page\u2019s own typeface', () => {
    const require = createRequire(import.meta.url);
    const Document = require('pdfkit') as new () => {
      font(file: string): { fontSize(points: number): { widthOfString(text: string): number } };
    };
    const measure = new Document().font(require.resolve('dejavu-fonts-ttf/ttf/DejaVuSerif-Bold.ttf'));
    for (const title of [
      'The Quay at Low Water, a Study in Turning Back and Forth between the Breakwater and the Old Customs House',
      'Windward and Homeward: the MORNING MAIL COMES IN WITHOUT A FLAG, from Summer Memories of Mudflats',
    ]) {
      for (const paper of ['a4', 'letter'] as const) {
        const [page] = layOut({ title, subtitle: ['', ''] }, [], paper);
        const lines = page!.items.filter((item) => item.kind === 'text' && item.bold);
        expect(lines.length).toBeGreaterThan(1);
        for (const line of lines) {
          if (line.kind !== 'text') continue;
          const width = measure.fontSize(line.sizePt).widthOfString(line.text);
          expect(line.x + width).toBeLessThanOrEqual(line.x + systemWidthPt(paper));
        }
      }
    }
  });

  it('is the same PDF every time', async () => {
    const blocks = [{ heading: 'Landings', words: [], boxes: ['60'], systems: await engrave(1) }];
    const pages = layOut({ title: 'B\u266D and \u00e9', subtitle: ['', ''] }, blocks, 'a4');
    const pdfOf = openPdf();
    const pdf = await pdfOf(pages, 'Slipway');
    expect(Buffer.from(pdf.subarray(0, 5)).toString()).toBe('%PDF-');
    expect(Buffer.compare(pdf, await pdfOf(pages, 'Slipway'))).toBe(0);
  });

  it('is refused where the score is none', async () => {
    await expect(engraver.engrave('<score-partwise>', { widthPt: 511 })).rejects.toMatchObject({
      problem: { code: 'engraver.refused' },
    });
  });
});
