// Bars where only the meters are known, as in a MIDI file: it has no pickup and no irregular bars, so a first bar of at
// most half the meter that follows at once is a pickup, and a change of meter inside a bar ends it there.

import { type Bar, barTicks, type Meter } from '../../music/meter.ts';
import type { IssueList } from '../reading.ts';

export interface MeterMark {
  readonly tick: number;
  readonly meter: Meter;
}

/** More is no passage; a damaged delta time can make millions. */
export const MOST_BARS = 10_000;

const COMMON_TIME: Meter = { count: 4, unit: 4 };

/** Bars from tick 0 to the end of the one that holds `endTick`; at least one. */
export function barsOf(
  marks: readonly MeterMark[],
  endTick: number,
  issues: IssueList,
  pickupSaid = false,
): Bar[] {
  const meters = marks.filter((mark, i) => {
    const next = marks[i + 1];
    return !next || next.tick > mark.tick;
  });
  if (meters[0]?.tick !== 0) meters.unshift({ tick: 0, meter: COMMON_TIME });
  const bars: Bar[] = [];
  const pickup = isPickup(meters, pickupSaid);
  let number = pickup ? 0 : 1;
  let at = 0;
  let m = 0;
  while ((at < endTick && bars.length <= MOST_BARS) || bars.length === 0) {
    while (meters[m + 1] && meters[m + 1]!.tick <= at) m++;
    const { meter } = meters[m]!;
    const next = meters[m + 1]?.tick ?? Number.POSITIVE_INFINITY;
    const whole = barTicks(meter);
    const durationTicks = Math.min(whole, next - at);
    if (pickup && bars.length === 0) {
      bars.push({ number, startTick: at, durationTicks, meter: meters[1]!.meter, pickup: true });
    } else {
      if (durationTicks < whole) {
        issues.warn('bar.length', `bar ${number} is cut short by a change of meter`, { bar: number });
      }
      bars.push({ number, startTick: at, durationTicks, meter, pickup: false });
    }
    at += durationTicks;
    number++;
  }
  return bars;
}

/** Where the file does not say so, only up to half a bar: 3/4 before 4/4 is more likely a change of meter. */
function isPickup([first, second]: readonly MeterMark[], said: boolean): boolean {
  if (!first || !second || second.tick !== barTicks(first.meter)) return false;
  return second.tick < barTicks(second.meter) && (said || 2 * second.tick <= barTicks(second.meter));
}
