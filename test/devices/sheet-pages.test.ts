import { beforeAll, describe, expect, it } from 'vitest';
import { openPdf } from '../../src/devices/pdf-pages.ts';
import { openEngraver } from '../../src/devices/verovio-engraver.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { writeMusicXml } from '../../src/notation/musicxml/writer.ts';
import type { EngravedSystem, Engraver } from '../../src/ports/engraver.ts';
import { layOut } from '../../src/sheet/lay-out.ts';
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
