// Which key asks for what. The first names of each are those that page-turning pedals send (PageUp, PageDown, the
// arrows, space), so that feet can do all of it. `v` and `x` stand in for `h` and `o` where letters are notes.

import type { Control, SeatAsk } from '../session/event.ts';
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

/** What a teacher asks of the player who is pointed at. */
const SEAT_KEYS: Readonly<Record<string, SeatAsk>> = { m: 'mute', e: 'excuse', f: 'focus', p: 'hear' };

/** Among several players: which of them (an index) a key means, and what it asks. Digits and , . point at one. */
export function seatAskForKey(
  name: string,
  pointed: number | undefined,
  players: number,
): { readonly player: number; readonly ask: SeatAsk } | undefined {
  if (/^[1-9]$/.test(name)) {
    const player = Number(name) - 1;
    return player < players ? { player, ask: 'point' } : undefined;
  }
  if (name === '.' || name === ',') {
    const from = pointed ?? (name === '.' ? -1 : 0);
    return { player: (from + (name === '.' ? 1 : players - 1)) % players, ask: 'point' };
  }
  const ask = Object.hasOwn(SEAT_KEYS, name) ? SEAT_KEYS[name] : undefined;
  return ask === undefined || pointed === undefined ? undefined : { player: pointed, ask };
}

export function controlForKey(name: string): Control | undefined {
  return Object.hasOwn(KEYMAP, name) ? KEYMAP[name] : undefined;
}
