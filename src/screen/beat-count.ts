// The count: which beat of the bar the click stands at, large enough to be read over a music stand.

import type { TextRole } from '../ports/terminal.ts';
import { type Canvas, put } from './canvas.ts';

/** Five rows of five cells; `#` is ink. */
const DIGITS: readonly (readonly string[])[] = [
  [' ### ', '#   #', '#   #', '#   #', ' ### '],
  ['  #  ', ' ##  ', '  #  ', '  #  ', ' ### '],
  [' ### ', '#   #', '  ## ', ' #   ', '#####'],
  ['#### ', '    #', '  ## ', '    #', '#### '],
  ['#  # ', '#  # ', '#####', '   # ', '   # '],
  ['#####', '#    ', '#### ', '    #', '#### '],
  [' ### ', '#    ', '#### ', '#   #', ' ### '],
  ['#####', '   # ', '  #  ', ' #   ', ' #   '],
  [' ### ', '#   #', ' ### ', '#   #', ' ### '],
  [' ### ', '#   #', ' ####', '    #', ' ### '],
];

export const COUNT_ROWS = 5;

/** Draws a number of one or two digits. `block` is the character used for ink. */
export function putCount(
  canvas: Canvas,
  row: number,
  column: number,
  count: number,
  options: { role: TextRole; block: string },
): void {
  [...String(count)].forEach((digit, i) => {
    DIGITS[Number(digit)]!.forEach((line, r) => {
      put(canvas, row + r, column + i * 6, line.replaceAll('#', options.block), options.role);
    });
  });
}
