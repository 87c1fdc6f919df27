// How many cells of a terminal a text takes: Chinese, Japanese and Korean characters take two, combining marks none
// (Unicode Standard Annex 11, by `string-width`). A grapheme is what a reader takes for one character.

import stringWidth from 'string-width';
import { printable } from '../printable.ts';

const GRAPHEMES = new Intl.Segmenter(undefined, { granularity: 'grapheme' });
/** Signs that the screens mostly draw with: each is one grapheme in one cell. */
const ONE_CELL_EACH = /^[\x20-\x7e\xa1-\xac\xae-\u02ff\u2010-\u2027\u2500-\u259f\u266d-\u266f]*$/;

/**
 * The text as it may stand on a screen: control characters become spaces, and the signs that turn the direction of
 * everything after them go (the letters of a right-to-left script have theirs without).
 */
export function drawable(text: string): string {
  return printable(text)
    .replaceAll('\n', ' ')
    .replace(/[\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/g, '');
}

/** @example textWidth('祭り') // 4 */
export function textWidth(text: string): number {
  return ONE_CELL_EACH.test(text) ? text.length : stringWidth(drawable(text));
}

/** The characters of a text with their cells, 0 for a mark with nothing to stand on. */
export function graphemes(text: string): { readonly text: string; readonly width: number }[] {
  if (ONE_CELL_EACH.test(text)) return [...text].map((sign) => ({ text: sign, width: 1 }));
  return [...GRAPHEMES.segment(drawable(text))].map(({ segment }) => ({
    text: segment,
    width: stringWidth(segment),
  }));
}

/** As many whole characters from the beginning as fit in so many cells. */
export function cutToWidth(text: string, width: number): string {
  let used = 0;
  let kept = '';
  for (const sign of graphemes(text)) {
    used += sign.width;
    if (used > width) break;
    kept += sign.text;
  }
  return kept;
}

/** With spaces after it, at least so many cells wide. */
export function padToWidth(text: string, width: number): string {
  return text + ' '.repeat(Math.max(0, width - textWidth(text)));
}
