// Where the click sounds, where that is not on every beat.

import { type ClickPlacement, clickInsideBeats } from '../drills/click-placement.ts';
import type { Run } from '../drills/step.ts';
import { noteValueName } from './note-value.ts';

const WORDS: Readonly<Record<Exclude<ClickPlacement, 'beat' | 'half'>, string>> = {
  bar: 'click on bar ones',
  offbeat: 'click between the beats',
  'silent-bars': 'click two bars on, two off',
};

/** Undefined where it is on every beat, or where there is none. @example clickWords(slowRun) // 'click in eighths' */
export function clickWords(run: Run, placement?: ClickPlacement): string | undefined {
  if (run.clicks.length === 0) return undefined;
  if (placement !== undefined && placement !== 'beat' && placement !== 'half') return WORDS[placement];
  const inside = clickInsideBeats(run);
  return inside === undefined ? undefined : `click in ${noteValueName(inside)}`;
}
