// Tenuto: lean on the note before one bad interval. Each step stretches that interval less; everything after comes
// later by that much, so no click could stay with it: the steps are free, and even against the take's own pace.

import type { Span } from '../music/span.ts';
import { ok } from '../problem.ts';
import { beatGrid, beatsBetween } from './beat-grid.ts';
import { REST_BEATS } from './beat-run.ts';
import type { Drill, DrillSettings } from './drill.ts';
import { freeStep } from './free-run.ts';
import { type Anchor, retimed, retiming } from './retiming.ts';
import type { Step, StepOnset } from './step.ts';
import { stepOnsets } from './step-onset.ts';
import { checkSnags, checkSpan } from './workable-span.ts';

/** How much the interval is stretched, step by step, and what that is called. */
const LEANS: readonly (readonly [share: number, name: string])[] = [
  [0.5, 'lean by half'],
  [0.25, 'lean by a quarter'],
  [0.1, 'lean by a tenth'],
  [0, 'no lean'],
];

export const tenuto: Drill = {
  name: 'tenuto',
  explanation:
    'The note before the snag is leaned on and made longer, by half of the interval, then a quarter, then a tenth, then not at all; everything after simply comes later. For one interval that is rushed or stumbled into: the hand gets time to prepare the next note, and then learns to do without it.',
  variants: {},
  makeSteps(span, settings) {
    const checked = checkSpan(span);
    if (!checked.ok) return checked;
    const snags = checkSnags(span, settings, 'tenuto');
    if (!snags.ok) return snags;
    const written = stepOnsets(span.passage, span);
    return ok(
      LEANS.map(([share, name]) => leaned(span, settings, written, { snags: snags.value, share, name })),
    );
  },
};

interface Lean {
  readonly snags: readonly number[];
  readonly share: number;
  readonly name: string;
}

function leaned(span: Span, settings: DrillSettings, written: readonly StepOnset[], lean: Lean): Step {
  const origin = written[0]!.tick;
  const leanTicks = new Map(
    lean.snags.map((snag) => {
      const i = snag - span.first;
      return [snag, Math.round(lean.share * (written[i + 1]!.tick - written[i]!.tick))];
    }),
  );
  let later = 0;
  const anchors = written.map((onset): Anchor => {
    const anchor: Anchor = [onset.tick, onset.tick - origin + later];
    later += leanTicks.get(onset.number) ?? 0;
    return anchor;
  });
  const newTick = retiming(anchors);
  const onsets = retimed(written, newTick).map((onset) => {
    const ticks = leanTicks.get(onset.number) ?? 0;
    return ticks > 0 ? { ...onset, leanTicks: ticks } : onset;
  });
  const restTicks = REST_BEATS * settings.tempo.beatTicks;
  const beats = beatsBetween(beatGrid(span.passage), origin, written.at(-1)!.tick + restTicks + 1);
  return freeStep(span.passage, {
    name: lean.name,
    tempo: settings.tempo,
    stopTick: onsets.at(-1)!.tick,
    writeOut: () => onsets,
    beats: beats.map((beat) => newTick(beat.tick)),
  });
}
