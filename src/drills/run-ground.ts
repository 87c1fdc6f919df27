// What the drills that are made of runs have in common: the span checked, how much is played before a stop, how long
// the stop is, and the ground that the runs lie on.

import type { Span } from '../music/span.ts';
import { ok, type Result } from '../problem.ts';
import { beatAt } from './beat-grid.ts';
import { type Ground, layGround } from './beat-run.ts';
import type { DrillSettings } from './drill.ts';
import { checkEvery, type Every, USUAL_EVERY } from './run-length.ts';
import { checkHold, checkSpan } from './workable-span.ts';

export interface RunGround {
  readonly ground: Ground;
  readonly every: Every;
  readonly holdBeats: number;
}

export function layRunGround(span: Span, settings: DrillSettings): Result<RunGround> {
  const checked = checkSpan(span);
  if (!checked.ok) return checked;
  const every = checkEvery(settings.every ?? USUAL_EVERY);
  if (!every.ok) return every;
  const ground = layGround(span.passage, span, settings.tempo);
  const hold = checkHold(settings, beatAt(ground.grid, ground.onsets[0]!.tick).perBar);
  return hold.ok ? ok({ ground, every: every.value, holdBeats: hold.value }) : hold;
}
