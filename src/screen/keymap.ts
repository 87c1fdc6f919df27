// Which key asks for what. The first names of each are those that page-turning pedals send (PageUp, PageDown, the
// arrows, space), so that feet can do all of it. `v` and `x` stand in for `h` and `o` where letters are notes.

import type { Command } from '../session/event.ts';

export const KEYMAP: Readonly<Record<string, Command>> = {
  pagedown: 'skip',
  right: 'skip',
  pageup: 'back',
  left: 'back',
  up: 'faster',
  down: 'slower',
  space: 'pause',
  enter: 'again',
  h: 'hear',
  v: 'hear',
  tab: 'hear',
  o: 'octave',
  x: 'octave',
  '+': 'fewer-stops',
  '-': 'more-stops',
  escape: 'quit',
  q: 'quit',
  'C-c': 'quit',
};

/** The keys as one line tells them. */
export const KEY_HINT = 'space pause  enter again  right skip  left back  up/down tempo  h hear  q leave';

/** The same where letters are notes: `v` stands in for `h`. */
export const KEY_HINT_LETTERS = KEY_HINT.replace('h hear', 'v hear');

export function commandForKey(name: string): Command | undefined {
  return Object.hasOwn(KEYMAP, name) ? KEYMAP[name] : undefined;
}
