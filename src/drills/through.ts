// Through: the span with a bar before and after, no stopping.

import type { Span } from '../music/span.ts';
import type { Tempo } from '../music/tempo.ts';
import { ok } from '../problem.ts';
import { beatStep, layGround, REST_BEATS } from './beat-run.ts';
import type { Drill } from './drill.ts';
import type { Step } from './step.ts';
import type { OnsetRange } from './step-onset.ts';
import { checkSpan } from './workable-span.ts';

export const through: Drill = {
  name: 'through',
  explanation:
    'The span with the bar before it and the bar after it, without a stop. For the proof: a place that is clean alone must also be clean when the music runs into it and out of it.',
  variants: {},
  makeSteps(span, settings) {
    const checked = checkSpan(span);
    if (!checked.ok) return checked;
    return ok([runThrough({ ...span, ...withBarsAround(span) }, settings.tempo, 'through', span.first)]);
  },
};

/** A span played once through without a stop, as one step. The tempo is that of the onset numbered `askedAt`. */
export function runThrough(span: Span, tempo: Tempo, name: string, askedAt = span.first): Step {
  const { passage, first, last } = span;
  const run = { name, first, last, landing: false, joinsNext: false, holdBeats: REST_BEATS };
  return beatStep(layGround(passage, span, tempo, askedAt), run);
}

/**
 * From the bar line a bar before the bar in which the span begins, to the end of the bar after the one in which it
 * ends: a player starts at a bar line. At the ends of the passage, as much as there is.
 */
function withBarsAround({ passage, first, last }: Span): OnsetRange {
  const { bars, onsets } = passage;
  const barOf = (number: number) => bars.findLastIndex((bar) => bar.startTick <= onsets[number - 1]!.tick);
  const fromTick = bars[Math.max(0, barOf(first) - 1)]!.startTick;
  const after = bars[Math.min(bars.length - 1, barOf(last) + 1)]!;
  const toTick = after.startTick + after.durationTicks;
  return {
    first: Math.min(first, onsets.findIndex((onset) => onset.tick >= fromTick) + 1),
    last: Math.max(last, onsets.findLastIndex((onset) => onset.tick < toTick) + 1),
  };
}
