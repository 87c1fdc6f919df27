// Which key asks for what. The first names of each are those that page-turning pedals send (PageUp, PageDown, the
// arrows, space), so that feet can do all of it. `v` and `x` stand in for `h` and `o` where letters are notes.

import type { Control } from '../session/event.ts';
import { fitHints, type Hint } from './key-hints.ts';

export const KEYMAP: Readonly<Record<string, Control>> = {
  pagedown: 'skip',
  right: 'skip',
  pageup: 'back',
  left: 'back',
  up: 'faster',
  down: 'slower',
  space: 'pause',
  '?': 'help',
  enter: 'again',
  h: 'hear',
  v: 'hear',
  tab: 'hear',
  r: 'replay',
  o: 'octave',
  x: 'octave',
  '+': 'fewer-stops',
  '-': 'more-stops',
  escape: 'quit',
  q: 'quit',
  'C-c': 'quit',
};

/** The keys as one line tells them, in order. */
const KEY_HINTS: readonly Hint[] = [
  ['space pause', 1],
  ['enter again', 2],
  ['right skip', 3],
  ['left back', 7],
  ['up/down tempo', 4],
  ['h hear', 6],
  ['r replay', 8],
  ['? help', 5],
  ['q leave', 0],
];

/** As many keys as fit the width, whole. `v` stands in for `h` where letters are notes. */
export function keyHint(width: number, lettersPlay = false): string {
  return fitHints(
    KEY_HINTS.map(([text, rank]) => [lettersPlay ? text.replace(/^h /, 'v ') : text, rank]),
    width,
  );
}

export function controlForKey(name: string): Control | undefined {
  return Object.hasOwn(KEYMAP, name) ? KEYMAP[name] : undefined;
}
