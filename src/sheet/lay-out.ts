// Lays a sheet's blocks out on pages. A heading stays with its first line of music; systems are never cut. Text is
// wrapped by widths that no ordinary line of the page's typeface exceeds.

import type { EngravedSystem } from '../ports/engraver.ts';
import { PAPER, type Page, type PageItem, type PaperName } from './page.ts';

/** A section of a sheet, ready to be laid out. */
export interface SheetBlock {
  readonly heading: string;
  /** How to practise it; wrapped. */
  readonly words: readonly string[];
  /** One box to tick each, with what it stands for beside it. */
  readonly boxes: readonly string[];
  readonly systems: readonly EngravedSystem[];
}

export interface SheetText {
  readonly title: string;
  /** Under the title, left and right. */
  readonly subtitle: readonly [left: string, right: string];
  readonly footer?: string;
}

const MARGIN_PT = 42;
const FOOTER_PT = 24;
const TITLE_PT = 18;
const HEADING_PT = 12;
const WORDS_PT = 9;
const LEADING = 1.4;
const SYSTEM_GAP_PT = 6;
const BLOCK_GAP_PT = 14;
/** The width that systems have to be engraved for. */
export function systemWidthPt(paper: PaperName): number {
  return PAPER[paper].widthPt - 2 * MARGIN_PT;
}

export function layOut(text: SheetText, blocks: readonly SheetBlock[], paper: PaperName): Page[] {
  const { widthPt, heightPt } = PAPER[paper];
  const bottom = heightPt - MARGIN_PT - FOOTER_PT;
  const pages: PageItem[][] = [];
  let items: PageItem[] = [];
  let y = 0;
  const turn = () => {
    items = [];
    pages.push(items);
    y = MARGIN_PT;
  };
  turn();
  for (const line of wrapped(text.title, widthPt - 2 * MARGIN_PT, TITLE_PT, true)) {
    y += TITLE_PT;
    items.push(line_(MARGIN_PT, y, line, { sizePt: TITLE_PT, bold: true }));
    y += TITLE_PT * (LEADING - 1);
  }
  y += WORDS_PT * LEADING;
  const [left, right] = text.subtitle;
  items.push(line_(MARGIN_PT, y, left, { sizePt: WORDS_PT }));
  items.push(line_(widthPt - MARGIN_PT, y, right, { sizePt: WORDS_PT, align: 'right' }));

  for (const block of blocks) {
    const head = headOf(block, widthPt);
    const firstSystemPt = block.systems[0]?.heightPt ?? 0;
    y += BLOCK_GAP_PT;
    if (y + head.heightPt + firstSystemPt > bottom && items.length > 0) turn();
    for (const item of head.items) items.push({ ...item, y: item.y + y });
    y += head.heightPt;
    for (const system of block.systems) {
      if (y + system.heightPt > bottom) turn();
      items.push({ kind: 'system', x: MARGIN_PT, y, system });
      y += system.heightPt + SYSTEM_GAP_PT;
    }
  }
  return pages.map((page, i) => ({
    widthPt,
    heightPt,
    items: [...page, ...footItems(text.footer, `${i + 1} of ${pages.length}`, paper)],
  }));
}

function footItems(footer: string | undefined, number: string, paper: PaperName): PageItem[] {
  const { widthPt, heightPt } = PAPER[paper];
  const y = heightPt - MARGIN_PT;
  const room = widthPt - 2 * MARGIN_PT - 60;
  return [
    ...(footer === undefined
      ? []
      : [line_(MARGIN_PT, y, wrapped(footer, room, WORDS_PT)[0]!, { sizePt: WORDS_PT })]),
    line_(widthPt - MARGIN_PT, y, number, { sizePt: WORDS_PT, align: 'right' }),
  ];
}

/** Heading, words and boxes, from y = 0 down. */
function headOf(block: SheetBlock, widthPt: number): { items: PageItem[]; heightPt: number } {
  const room = widthPt - 2 * MARGIN_PT;
  const items: PageItem[] = [];
  let y = HEADING_PT;
  items.push(line_(MARGIN_PT, y, block.heading, { sizePt: HEADING_PT, bold: true }));
  for (const words of block.words) {
    for (const line of wrapped(words, room, WORDS_PT)) {
      y += WORDS_PT * LEADING;
      items.push(line_(MARGIN_PT, y, line, { sizePt: WORDS_PT }));
    }
  }
  let x = MARGIN_PT;
  if (block.boxes.length > 0) y += WORDS_PT * LEADING + 3;
  for (const label of block.boxes) {
    const width = WORDS_PT * (1.5 + emsOf(label) + 1.2);
    if (x + width > widthPt - MARGIN_PT && x > MARGIN_PT) {
      x = MARGIN_PT;
      y += WORDS_PT * LEADING + 3;
    }
    items.push({ kind: 'box', x, y: y - WORDS_PT, sizePt: WORDS_PT });
    items.push(line_(x + WORDS_PT * 1.5, y, label, { sizePt: WORDS_PT }));
    x += width;
  }
  return { items, heightPt: y + WORDS_PT };
}

function line_(
  x: number,
  y: number,
  text: string,
  how: { readonly sizePt: number; readonly bold?: boolean; readonly align?: 'left' | 'right' },
): PageItem {
  return {
    kind: 'text',
    x,
    y,
    text,
    sizePt: how.sizePt,
    bold: how.bold ?? false,
    align: how.align ?? 'left',
  };
}

/** Lines no wider than the room; a word that is wider alone is cut. Never empty. */
function wrapped(text: string, roomPt: number, sizePt: number, isBold = false): string[] {
  const fits = (line: string) => emsOf(line, isBold) * sizePt <= roomPt;
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/).filter((one) => one !== '')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (fits(longer)) {
      line = longer;
      continue;
    }
    if (line !== '') lines.push(line);
    line = word;
    while (!fits(line)) line = [...line].slice(0, -1).join('');
  }
  return [...lines, line];
}

/** DejaVu Serif is so much narrower than its bold face. */
const PLAIN_SHARE = 0.9;

/** The width of a text in the page's typeface, in ems: about, and no less where it is as long as a line. */
function emsOf(text: string, isBold = false): number {
  const bold = [...text].reduce((sum, character) => sum + boldEmsOf(character), 0);
  return isBold ? bold : bold * PLAIN_SHARE;
}

function boldEmsOf(character: string): number {
  if (/[fijltIJ.,:;'!|()\s-]/.test(character)) return 0.45;
  if (/[mwMW]/.test(character)) return 1.1;
  if (/[\p{Ll}0-9]/u.test(character)) return 0.68;
  return /[\p{Lu}]/u.test(character) ? 0.88 : 1.1;
}
