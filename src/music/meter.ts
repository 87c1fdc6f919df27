// Meter: how long a bar and a beat are. In compound meter (6/8, 9/8, 12/8 and their like) the beat is the dotted
// note. A bar may be shorter than its meter: a pickup, or an irregular bar.

import { TICKS_PER_WHOLE } from './ticks.ts';

export interface Meter {
  /** Upper number, 1 or more. */
  readonly count: number;
  /** Lower number, a power of two. */
  readonly unit: number;
  /** How the bar is felt where the music says so, in units, adding up to `count`: 2+3/8 is [2, 3]. */
  readonly groups?: readonly number[];
}

/** One bar of a passage. `number` is what is printed over it; a pickup is 0. */
export interface Bar {
  readonly number: number;
  readonly startTick: number;
  readonly durationTicks: number;
  readonly meter: Meter;
  /** True where the bar is the tail of a bar that began before it: beats are counted back from its end. */
  readonly pickup: boolean;
}

/** Index of the bar that holds a tick: the last bar past the end, the first before the start. */
export function barAt(bars: readonly Bar[], tick: number): number {
  let low = 0;
  let high = bars.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (bars[middle]!.startTick <= tick) low = middle;
    else high = middle - 1;
  }
  return low;
}

export function isCompound(meter: Meter): boolean {
  return meter.unit >= 8 && meter.count > 3 && meter.count % 3 === 0;
}

export function barTicks(meter: Meter): number {
  return (meter.count * TICKS_PER_WHOLE) / meter.unit;
}

/** @example meterText({ count: 5, unit: 8, groups: [2, 3] }) // '2+3/8' */
export function meterText({ count, unit, groups }: Meter): string {
  return `${groups?.join('+') ?? count}/${unit}`;
}

export function isSameMeter(a: Meter, b: Meter): boolean {
  return meterText(a) === meterText(b);
}

/** Ticks of one beat: the dotted note in compound meter. @example beatTicks({ count: 6, unit: 8 }) // 15120 */
export function beatTicks(meter: Meter): number {
  return (isCompound(meter) ? 3 : 1) * (TICKS_PER_WHOLE / meter.unit);
}

/** Ticks of every beat that begins in the bar, from the passage's start. */
export function beatsOfBar(bar: Bar): number[] {
  const beat = beatTicks(bar.meter);
  const end = bar.startTick + bar.durationTicks;
  const first = bar.pickup ? end - Math.floor(bar.durationTicks / beat) * beat : bar.startTick;
  const ticks: number[] = [];
  for (let tick = first; tick < end; tick += beat) ticks.push(tick);
  return ticks;
}
