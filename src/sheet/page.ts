// A page as plain data: what stands where. Points (1/72 inch) from the upper left corner; a text's `y` is its baseline.

import type { EngravedSystem } from '../ports/engraver.ts';

export type PaperName = 'a4' | 'letter';

/** Width and height in points. A4: ISO 216, 210 x 297 mm; letter: ANSI/ASME Y14.1, 8.5 x 11 in. */
export const PAPER: Readonly<Record<PaperName, { readonly widthPt: number; readonly heightPt: number }>> = {
  a4: { widthPt: 595.28, heightPt: 841.89 },
  letter: { widthPt: 612, heightPt: 792 },
};

export type PageItem =
  | {
      readonly kind: 'text';
      readonly x: number;
      readonly y: number;
      readonly sizePt: number;
      readonly bold: boolean;
      readonly text: string;
      readonly align: 'left' | 'right';
    }
  /** An empty square to tick. */
  | { readonly kind: 'box'; readonly x: number; readonly y: number; readonly sizePt: number }
  | { readonly kind: 'system'; readonly x: number; readonly y: number; readonly system: EngravedSystem };

export interface Page {
  readonly widthPt: number;
  readonly heightPt: number;
  readonly items: readonly PageItem[];
}
