// Where the click sounds in a step. What is taken away must be carried by the player, and is judged all the same. The
// lead-in is always counted on every beat at least: it gives the tempo. Steps without a click stay as they are.

import { TICKS_PER_WHOLE } from '../music/ticks.ts';
import type { ClickMark, Run, Step } from './step.ts';

export const CLICK_PLACEMENTS = {
  beat: 'on every beat',
  half: 'on every beat and half beat (in compound meter on every third of a beat)',
  bar: 'on bar ones only',
  offbeat: 'between the beats only: on the half (in compound meter on the second and third eighth)',
  'silent-bars': 'two bars on, two bars off',
} as const satisfies Record<string, string>;

export type ClickPlacement = keyof typeof CLICK_PLACEMENTS;

export function isClickPlacement(text: string): text is ClickPlacement {
  return Object.hasOwn(CLICK_PLACEMENTS, text);
}

/** The step with its clicks, which are on every beat, placed otherwise. */
export function placeClicks(step: Step, placement: ClickPlacement): Step {
  return placeClicksInRow([step], placement)[0]!;
}

/**
 * The same for steps in a row. Bars on and off are counted from the first bar of the run, on through joins and
 * holds; after a step that does not join they are counted anew.
 */
export function placeClicksInRow(steps: readonly Step[], placement: ClickPlacement): readonly Step[] {
  if (placement === 'beat') return steps;
  let bars = noBars;
  return steps.map(({ run, lines }) => {
    if (run.clicks.length === 0) return { run, lines };
    const leadIn = run.clicks.filter((click) => click.tick < run.startTick);
    const counting = run.clicks.filter((click) => click.tick >= run.startTick);
    if (placement === 'half') return { run: withDivisions(run), lines };
    if (placement !== 'silent-bars')
      return { run: { ...run, clicks: [...leadIn, ...placed(run, counting, placement)] }, lines };
    const counted = countBars(counting, bars);
    bars = run.joinsNext ? counted.bars : noBars;
    return { run: { ...run, clicks: [...leadIn, ...counted.sounding] }, lines };
  });
}

/**
 * The run with a click inside every beat as well, those of the lead-in included. Its clicks are on every beat.
 * `isDivided`: at which ticks.
 */
export function withDivisions(run: Run, isDivided: (tick: number) => boolean = () => true): Run {
  const inside = divisions(run).filter(({ tick }) => isDivided(tick));
  return { ...run, clicks: [...run.clicks, ...inside].sort((a, b) => a.tick - b.tick) };
}

/** Ticks from a click inside a beat to the click before it; undefined where the click is on the beats alone. */
export function clickInsideBeats({ clicks }: Run): number | undefined {
  const inside = clicks.findIndex(({ accent }) => accent === 'division');
  const before = clicks[inside - 1];
  return before === undefined ? undefined : clicks[inside]!.tick - before.tick;
}

function placed(run: Run, clicks: readonly ClickMark[], placement: 'bar' | 'offbeat'): ClickMark[] {
  if (placement === 'bar') return clicks.filter((click) => click.accent === 'bar');
  return divisions(run).filter((click) => click.tick >= run.startTick);
}

/** Marks inside the beats of lead-in, run and hold. */
function divisions({ beats, clicks, endTick, startTick, tempo }: Run): ClickMark[] {
  const firstGap = (beats[1] ?? beats[0]! + tempo.beatTicks) - beats[0]!;
  const leadIn = clicks.map(({ tick }) => tick).filter((tick) => tick < startTick);
  // The run may begin inside a beat, the last one that was counted in.
  const from = [...(leadIn.length > 0 ? leadIn : [beats[0]! - firstGap]), ...beats];
  return from.flatMap((tick, i) => {
    const gap = (from[i + 1] ?? tick + firstGap) - tick;
    return insideBeat(gap)
      .map((inside): ClickMark => ({ tick: tick + inside, accent: 'division' }))
      .filter((click) => click.tick >= (leadIn[0] ?? startTick) && click.tick < endTick);
  });
}

/** A plain beat has its half inside, a dotted one its two thirds; a beat cut short by a bar line may have none. */
function insideBeat(beatTicks: number): number[] {
  if (isPowerOfTwo(TICKS_PER_WHOLE / beatTicks)) return [beatTicks / 2].filter(Number.isInteger);
  if (isPowerOfTwo((3 * TICKS_PER_WHOLE) / beatTicks)) return [beatTicks / 3, (2 * beatTicks) / 3];
  return [];
}

function isPowerOfTwo(n: number): boolean {
  return Number.isInteger(Math.log2(n));
}

/** Bars begun so far in a row of joined steps, from 0; undefined before the first click. */
type BarCount = number | undefined;
const noBars: BarCount = undefined;

const BARS_ON = 2;

function countBars(run: readonly ClickMark[], before: BarCount): { bars: BarCount; sounding: ClickMark[] } {
  let bars = before;
  const sounding = run.filter((click) => {
    // A row that begins inside a bar counts that bar as its first.
    if (bars === undefined) bars = 0;
    else if (click.accent === 'bar') bars++;
    return Math.floor(bars / BARS_ON) % 2 === 0;
  });
  return { bars, sounding };
}
