// Rhythms: an even run with its notes made long and short in turn. Groups start where they were written, so the steps
// keep the beat: click on, ticks from the passage's start. Notes before the first whole group and after the last stay
// as written.

import type { Span } from '../music/span.ts';
import { ok } from '../problem.ts';
import { beatAt, countedBack } from './beat-grid.ts';
import { beatStepOf, type Ground, layGround, REST_BEATS } from './beat-run.ts';
import type { Drill, DrillSettings } from './drill.ts';
import { evenTicks, longestEvenRun, unevenPlace } from './even-run.ts';
import { refuse } from './refusal.ts';
import { type Anchor, retimed, retiming } from './retiming.ts';
import { type GroupSize, PATTERNS, type RhythmPattern } from './rhythm-pattern.ts';
import type { Step, StepOnset } from './step.ts';
import { checkSpan } from './workable-span.ts';

const SIZES: Readonly<Record<string, GroupSize>> = { pairs: 2, threes: 3, fours: 4 };

export const rhythms: Drill = {
  name: 'rhythms',
  explanation:
    'An even run in dotted rhythms, long-short and short-long, then in groups of three or four with the long note in each place. For fast even lines: every move of the fingers is once the quick one, with a rest on the long note to think ahead.',
  variants: {
    pairs: 'long-short and short-long only',
    threes: 'groups of three only',
    fours: 'groups of four only',
  },
  makeSteps(span, settings) {
    const checked = checkSpan(span);
    if (!checked.ok) return checked;
    const ground = layGround(span.passage, span, settings.tempo);
    const ticks = evenTicks(ground.onsets);
    if (ticks === undefined) return refuseUneven(ground);
    const asked = askedSizes(settings);
    const sizes = asked.length > 0 ? asked : sizesForBeat(ground, ticks);
    const steps = sizes.flatMap((size) => groupSteps(ground, size, ticks));
    if (steps.length > 0) return ok(steps);
    // Two notes where the beat holds three are still a pair.
    if (asked.length === 0) return ok(groupSteps(ground, 2, ticks));
    return refuse(
      'rhythms-too-short',
      `Cannot make rhythms of onsets ${span.first} to ${span.last}: there is no whole group among ${ground.onsets.length} notes`,
      'Choose a longer span or smaller groups.',
    );
  },
};

/** Whether the span is even enough for this drill. */
export function isEven({ passage, first, last }: Span): boolean {
  return last > first && evenTicks(layGround(passage, { first, last }, passage.tempo).onsets) !== undefined;
}

function askedSizes({ variants = [] }: DrillSettings): GroupSize[] {
  return Object.keys(SIZES)
    .filter((name) => variants.includes(name))
    .map((name) => SIZES[name]!);
}

/** Threes where the beat holds three notes, pairs and threes where it holds six, otherwise pairs and fours. */
function sizesForBeat({ grid, onsets }: Ground, ticks: number): readonly GroupSize[] {
  const perBeat = beatAt(grid, onsets[0]!.tick).beatTicks / ticks;
  if (perBeat % 3 !== 0) return [2, 4];
  return perBeat % 2 === 0 ? [2, 3] : [3];
}

function groupSteps(ground: Ground, size: GroupSize, ticks: number): Step[] {
  const { range, onsets } = ground;
  if (onsets.length < size) return [];
  const skipped = notesBeforeGroups(ground, size, ticks);
  return PATTERNS[size].map((pattern) => {
    const run = { name: pattern.name, ...range, landing: false, joinsNext: false, holdBeats: REST_BEATS };
    return beatStepOf(ground, run, inRhythm(onsets, pattern, { skipped, ticks }));
  });
}

/** Groups are counted from the bar line; from the first note where that leaves no whole group. */
function notesBeforeGroups({ grid, onsets }: Ground, size: GroupSize, ticks: number): number {
  const beat = beatAt(grid, onsets[0]!.tick);
  const barLine = countedBack(beat, beat.place - 1).tick;
  const place = (onsets[0]!.tick - barLine) / ticks;
  const skipped = Number.isInteger(place) ? (size - (place % size)) % size : 0;
  return skipped + size <= onsets.length ? skipped : 0;
}

function inRhythm(
  onsets: readonly StepOnset[],
  { shares }: RhythmPattern,
  { skipped, ticks }: { skipped: number; ticks: number },
): StepOnset[] {
  const size = shares.length;
  const groupTicks = size * ticks;
  const passed = shares.map((_, i) => shares.slice(0, i).reduce((sum, share) => sum + share, 0));
  const wholeGroups = Math.floor((onsets.length - skipped) / size);
  const anchors = onsets.map(({ tick }, i): Anchor => {
    const inGroups = i - skipped;
    if (inGroups < 0 || inGroups >= wholeGroups * size) return [tick, tick];
    const place = inGroups % size;
    return [tick, tick - place * ticks + Math.round(passed[place]! * groupTicks)];
  });
  // The end of the last note's own share of the run: what sounds longer than that ends as written.
  const end = onsets.at(-1)!.tick + ticks;
  return retimed(onsets, retiming([...anchors, [end, end]]));
}

function refuseUneven({ onsets }: Ground) {
  const place = unevenPlace(onsets)!;
  const { first, last } = longestEvenRun(onsets);
  const even =
    last - first > 1
      ? `The longest even run here is onsets ${first} to ${last}: choose that span.`
      : 'Choose an even run.';
  return refuse(
    'rhythms-uneven',
    `Cannot make rhythms of onsets ${onsets[0]!.number} to ${onsets.at(-1)!.number}: the line is not even, the interval from onset ${place} to ${place + 1} is not as long as those before it`,
    even,
  );
}
