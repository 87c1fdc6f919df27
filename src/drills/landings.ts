// Landings: short runs that stop on the beat and keep the momentum. A run starts where the last one landed, struck
// again; the landing is held while the click goes on.

import { barAt } from '../music/meter.ts';
import type { Span } from '../music/span.ts';
import { ok } from '../problem.ts';
import { isGrouped } from './beat-grid.ts';
import { beatStep, type Ground } from './beat-run.ts';
import type { Drill } from './drill.ts';
import { firstBoundary, landingPlaces } from './landing-place.ts';
import { beatsName } from './place-name.ts';
import { layRunGround } from './run-ground.ts';
import { GROWING, GROWING_BY_GROUPS, type RunLength, runLengthName } from './run-length.ts';
import { onsetsOfAll, type Step } from './step.ts';

export const landings: Drill = {
  name: 'landings',
  explanation:
    'Short runs that stop on the next beat, where the landing is held while the click goes on; the next run starts from that same note, struck again. For lines whose beats are easy alone and fall apart in a row: each beat is joined to the next, and the hold gives time to hear where you are.',
  variants: {},
  makeSteps(span, settings) {
    const laid = layRunGround(ontoDownbeat(span), settings);
    if (!laid.ok) return laid;
    const { ground, every, holdBeats } = laid.value;
    if (every === 'growing') return ok(growingRuns(ground, holdBeats));
    return ok(runs(ground, landingPlaces(ground, every), every, holdBeats, ''));
  },
};

/**
 * The span with the downbeat after it, where its next onset stands on one: over a bar line is often the hardest join. A
 * span that ends on a downbeat has its landing already.
 */
function ontoDownbeat(span: Span): Span {
  const { bars, onsets } = span.passage;
  const isDownbeat = (tick: number) => {
    const { startTick, pickup } = bars[barAt(bars, tick)]!;
    return startTick === tick && !pickup;
  };
  const next = onsets[span.last];
  if (!next || !isDownbeat(next.tick) || isDownbeat(onsets[span.last - 1]!.tick)) return span;
  return { ...span, last: span.last + 1 };
}

/**
 * Index of the step in which the player should go on when the stops are set anew: the last one that begins at or
 * before the onset numbered `onset`.
 */
export function stepFromOnset(steps: readonly Step[], onset: number): number {
  return Math.max(
    0,
    steps.findLastIndex((step) => onsetsOfAll(step)[0]!.number <= onset),
  );
}

/** Each size in turn; one that stops in the same places as the size before it is left out. */
function growingRuns(ground: Ground, hold: number): Step[] {
  const steps: Step[] = [];
  let before = '';
  const sizes = ground.grid.some(isGrouped) ? GROWING_BY_GROUPS : GROWING;
  for (const length of sizes) {
    const places = landingPlaces(ground, length);
    if (places.join() === before) continue;
    before = places.join();
    steps.push(
      ...runs(ground, places, length, hold, places.length === 2 ? '' : `by ${runLengthName(length)}: `),
    );
  }
  return steps;
}

function runs(
  ground: Ground,
  places: readonly number[],
  length: RunLength,
  holdBeats: number,
  prefix: string,
): Step[] {
  const tickOf = (number: number) => ground.onsets[number - ground.range.first]!.tick;
  return places.slice(1).map((last, k) => {
    const first = places[k]!;
    const startTick = k === 0 ? firstBoundary(ground, length) : tickOf(first);
    return beatStep(ground, {
      name: prefix + beatsName(ground.grid, startTick, tickOf(last)),
      first,
      last,
      startTick,
      landing: true,
      joinsNext: k < places.length - 2,
      holdBeats,
    });
  });
}
