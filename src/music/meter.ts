// Meter: how long a bar and a beat are. In compound meter (6/8, 9/8, 12/8 and their like) the beat is the dotted
// note; in five or seven eighths and their like beats are unequal: groups of two and three units. A bar may be shorter
// than its meter: a pickup, or an irregular bar.

import { TICKS_PER_WHOLE } from './ticks.ts';

export interface Meter {
  /** Upper number, 1 or more. */
  readonly count: number;
  /** Lower number, a power of two. */
  readonly unit: number;
  /** How the bar is felt where the music says so, in units, adding up to `count`: 2+3/8 is [2, 3], 3+2/4 [3, 2]. */
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
  return unitsOfBeats(meter).every((units) => units === 3);
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

/**
 * Ticks of the beat that a tempo counts when nothing else is written: the dotted note in compound meter, otherwise the
 * written unit, also where beats are unequal. @example beatTicks({ count: 6, unit: 8 }) // 15120
 */
export function beatTicks(meter: Meter): number {
  return (isCompound(meter) ? 3 : 1) * (TICKS_PER_WHOLE / meter.unit);
}

/** Units in each beat of a whole bar, in order. @example unitsOfBeats({ count: 7, unit: 8 }) // [2, 2, 3] */
export function unitsOfBeats({ count, unit, groups }: Meter): readonly number[] {
  if (unit < 8 || (!groups && count < 5)) return Array.from({ length: count }, () => 1);
  return (groups ?? [count]).flatMap(twosAndThrees);
}

/**
 * A group of more than three units is felt in threes where they fill it, otherwise in twos, with a three at the end
 * where it is odd. Common practice, no source: a composer who means something else writes the groups.
 */
function twosAndThrees(units: number): number[] {
  if (units <= 3) return [units];
  if (units % 3 === 0) return Array.from({ length: units / 3 }, () => 3);
  const twos = Array.from({ length: Math.floor(units / 2) }, () => 2);
  return units % 2 === 0 ? twos : [...twos.slice(1), 3];
}

/**
 * For each beat of a whole bar whether a group begins there: every beat, but where the music groups plain beats only the
 * first of each group. @example groupStarts({ count: 5, unit: 4, groups: [3, 2] }) // [true, false, false, true, false]
 */
export function groupStarts(meter: Meter): readonly boolean[] {
  const beats = unitsOfBeats(meter);
  if (meter.unit >= 8 || !meter.groups) return beats.map(() => true);
  const starts = new Set<number>();
  let place = 0;
  for (const group of meter.groups) {
    starts.add(place);
    place += group;
  }
  return beats.map((_, i) => starts.has(i));
}

/** Ticks of each beat of a whole bar, in order. @example beatLengths({ count: 5, unit: 8 }) // [10080, 15120] */
export function beatLengths(meter: Meter): readonly number[] {
  return unitsOfBeats(meter).map((units) => (units * TICKS_PER_WHOLE) / meter.unit);
}

/** Ticks of every beat that begins in the bar, from the passage's start. A bar longer than its meter goes on counting. */
export function beatsOfBar(bar: Bar): number[] {
  const lengths = beatLengths(bar.meter);
  const end = bar.startTick + bar.durationTicks;
  const whole = barTicks(bar.meter);
  // A pickup is the tail of whole bars.
  let tick = bar.pickup ? end - Math.ceil(bar.durationTicks / whole) * whole : bar.startTick;
  const ticks: number[] = [];
  for (let i = 0; tick < end; tick += lengths[i++ % lengths.length]!) {
    if (tick >= bar.startTick) ticks.push(tick);
  }
  return ticks;
}
