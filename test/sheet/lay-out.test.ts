import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { layOut, type SheetBlock, systemWidthPt } from '../../src/sheet/lay-out.ts';
import { PAPER, type PageItem, type PaperName } from '../../src/sheet/page.ts';
import { svgPage } from '../../src/sheet/svg-page.ts';

const system = (heightPt: number) => ({ svg: '<svg viewBox="0 0 10 10"></svg>', widthPt: 511, heightPt });

const blocks: fc.Arbitrary<SheetBlock[]> = fc.array(
  fc.record({
    heading: fc.string({ minLength: 1, maxLength: 30 }),
    words: fc.array(fc.lorem({ maxCount: 40 }), { maxLength: 2 }),
    boxes: fc.array(fc.constantFrom('48', '104'), { maxLength: 40 }),
    systems: fc.array(fc.integer({ min: 30, max: 160 }).map(system), { maxLength: 12 }),
  }),
  { maxLength: 6 },
);

function bottomOf(item: PageItem): number {
  if (item.kind === 'system') return item.y + item.system.heightPt;
  return item.kind === 'box' ? item.y + item.sizePt : item.y;
}

function topOf(item: PageItem): number {
  return item.kind === 'text' ? item.y - item.sizePt : item.y;
}

describe('the pages of a sheet', () => {
  it('hold everything once, inside their edges, and nothing over anything else', () => {
    fc.assert(
      fc.property(blocks, fc.constantFrom<PaperName>('a4', 'letter'), (all, paper) => {
        const pages = layOut({ title: 'Slipway', subtitle: ['left', 'right'] }, all, paper);
        const { widthPt, heightPt } = PAPER[paper];
        const items = pages.flatMap((page) => page.items);
        const count = (kind: PageItem['kind']) => items.filter((item) => item.kind === kind).length;
        expect(count('system')).toBe(all.reduce((sum, { systems }) => sum + systems.length, 0));
        expect(count('box')).toBe(all.reduce((sum, { boxes }) => sum + boxes.length, 0));
        for (const page of pages) {
          for (const item of page.items) {
            expect(topOf(item)).toBeGreaterThanOrEqual(0);
            expect(bottomOf(item)).toBeLessThanOrEqual(heightPt - 30);
            expect(item.x).toBeGreaterThanOrEqual(0);
            expect(item.x + (item.kind === 'system' ? systemWidthPt(paper) : 0)).toBeLessThanOrEqual(widthPt);
          }
          const systems = page.items.filter((item) => item.kind === 'system');
          for (const one of systems) {
            for (const other of page.items) {
              if (other === one) continue;
              const apart = bottomOf(one) <= topOf(other) + 1e-9 || bottomOf(other) <= topOf(one) + 1e-9;
              expect(apart).toBe(true);
            }
          }
        }
      }),
      { numRuns: 100 },
    );
  });

  it('keep a heading with its first line of music', () => {
    const tall = { heading: 'Widening', words: [], boxes: [], systems: [system(150)] };
    const pages = layOut({ title: 'Slipway', subtitle: ['', ''] }, Array(12).fill(tall), 'a4');
    for (const page of pages) {
      const last = page.items.filter((item) => item.y < 780).at(-1)!;
      expect(last.kind).toBe('system');
    }
  });

  it('are pictures in which text is safe', () => {
    const [page] = layOut({ title: 'Reels & <jigs>', subtitle: ['', ''] }, [], 'letter');
    expect(svgPage(page!)).toContain('Reels &amp; &lt;jigs&gt;');
  });
});
