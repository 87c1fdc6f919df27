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

/** The keys as one line tells them, in order; the higher the rank, the sooner a narrow line does without. */
const KEY_HINTS: readonly (readonly [text: string, rank: number])[] = [
  ['space pause', 1],
  ['enter again', 2],
  ['right skip', 3],
  ['left back', 5],
  ['up/down tempo', 4],
  ['h hear', 6],
  ['q leave', 0],
];

/** As many keys as fit the width, whole. `v` stands in for `h` where letters are notes. */
export function keyHint(width: number, lettersPlay = false): string {
  let kept = KEY_HINTS;
  const line = () => kept.map(([text]) => (lettersPlay ? text.replace(/^h /, 'v ') : text)).join('  ');
  while (kept.length > 0 && line().length > width) {
    const last = Math.max(...kept.map(([, rank]) => rank));
    kept = kept.filter(([, rank]) => rank !== last);
  }
  return line();
}

export function commandForKey(name: string): Command | undefined {
  return Object.hasOwn(KEYMAP, name) ? KEYMAP[name] : undefined;
}
