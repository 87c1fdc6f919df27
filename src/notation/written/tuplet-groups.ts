// Which events of a bar are written as a tuplet: a run of lengths that no dotted or plain note value has, up to where
// the run is again as long as plain note values are.

import { gcd, oddPart } from './tick-fractions.ts';

interface Timed {
  readonly durationTicks: number;
}

/** `actual` notes in the time of `normal`, over `events` events. */
export interface TupletGroup {
  readonly actual: number;
  readonly normal: number;
  /** Index of the first event in the bar, and how many. */
  readonly first: number;
  readonly events: number;
}

/** Notes in the time of: the nearest power of two below (common practice, no source). */
const NORMAL: Record<number, number> = { 3: 2, 5: 4, 7: 4, 9: 8 };

/** Tuplets of a bar, in order, not overlapping. */
export function tupletGroups(events: readonly Timed[]): TupletGroup[] {
  const groups: TupletGroup[] = [];
  let first = 0;
  while (first < events.length) {
    const group = groupAt(events, first);
    if (group) groups.push(group);
    first += group?.events ?? 1;
  }
  return groups;
}

function groupAt(events: readonly Timed[], first: number): TupletGroup | undefined {
  if (oddPart(events[first]!.durationTicks) === 1) return undefined;
  let sum = 0;
  let actual = 1;
  for (let i = first; i < events.length; i += 1) {
    const { durationTicks } = events[i]!;
    const odd = oddPart(durationTicks);
    actual = lcm(actual, odd);
    sum += durationTicks;
    const normal = NORMAL[actual];
    if (normal === undefined) return undefined;
    if (oddPart(sum) === 1) {
      const count = i - first + 1;
      const whole = events
        .slice(first, i + 1)
        .every((e) => Number.isInteger((e.durationTicks * actual) / normal));
      return whole ? { actual, normal, first, events: count } : undefined;
    }
  }
  return undefined;
}

function lcm(a: number, b: number): number {
  return (a * b) / gcd(a, b);
}
