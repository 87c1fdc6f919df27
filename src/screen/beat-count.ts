// The count: which beat of the bar the click stands at, large enough to be read over a music stand.

import { beatsOfBar, beatTicks } from '../music/meter.ts';
import type { Passage } from '../music/passage.ts';
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

/**
 * Number (from 1) of the beat in its bar at a tick of the passage; before its start and past its end the meter goes on.
 * A pickup's beats are those at the end of a whole bar.
 */
export function beatInBar(passage: Passage, tick: number): number {
  const bars = passage.bars;
  const bar = bars.findLast((one) => one.startTick <= tick) ?? bars.find((one) => !one.pickup) ?? bars[0]!;
  const beat = beatTicks(bar.meter);
  const perBar = Math.max(1, Math.round((bar.meter.count * 40_320) / bar.meter.unit / beat));
  const beats = beatsOfBar(bar);
  if (bar.pickup && tick >= bar.startTick) return perBar - beats.filter((b) => b > tick).length;
  const offset = Math.floor((tick - bar.startTick) / beat);
  return (((offset % perBar) + perBar) % perBar) + 1;
}

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
