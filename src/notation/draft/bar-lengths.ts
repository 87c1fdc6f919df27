// Numbers and lengths of printed bars: which are pickups, which are tails of a split bar, and a warning for every bar
// whose notes do not fill its meter where nothing explains it.

import { barTicks, type Meter, meterText } from '../../music/meter.ts';
import type { IssueList } from '../reading.ts';
import type { DraftBar } from './score.ts';

export interface PrintedBar {
  readonly draft: DraftBar;
  readonly number: number;
  readonly durationTicks: number;
  /** The tail of a bar that began before it: a pickup, or the second half of a bar split by a repeat. */
  readonly pickup: boolean;
}

/** Numbers the bars: a pickup is 0, the tail of a split bar has its head's number, a printed number wins. */
export function numberBars(bars: readonly DraftBar[]): PrintedBar[] {
  let next = 1;
  return bars.map((draft, i) => {
    const durationTicks = draft.durationTicks || barTicks(draft.meter);
    const pickup = draft.pickup ?? isTailByLength(bars, i);
    const counted = pickup ? next - 1 : next;
    const number = draft.number ?? counted;
    next = number + 1;
    return { draft, number, durationTicks, pickup };
  });
}

/**
 * A short bar is the tail of a bar where it comes first, or where it fills up the short bar before it. A bar of 0 ticks
 * is a whole bar of rest.
 */
export function isTailByLength(
  bars: readonly { readonly meter: Meter; readonly durationTicks: number }[],
  at: number,
): boolean {
  // Runs of short bars pair up from the left: the second completes the first, the fourth the third.
  let tail = false;
  let from = at;
  while (from > 0 && isShort(bars[from - 1]!)) from -= 1;
  for (let i = from; i <= at; i += 1) {
    const bar = bars[i]!;
    const before = bars[i - 1];
    if (!isShort(bar)) tail = false;
    else if (!before) tail = bars.length > 1;
    else if (i === 1 || tail || !isShort(before)) tail = false;
    else tail = before.durationTicks + bar.durationTicks === barTicks(bar.meter);
  }
  return tail;
}

function isShort({
  meter,
  durationTicks,
}: {
  readonly meter: Meter;
  readonly durationTicks: number;
}): boolean {
  return durationTicks > 0 && durationTicks < barTicks(meter);
}

/**
 * Drops a pickup without a note or a rest, which has no length; an empty first bar that is none counts as a bar of rest,
 * which is told. What holds from it on holds from the next.
 */
export function withoutEmptyPickup(bars: readonly DraftBar[], issues: IssueList): readonly DraftBar[] {
  const [first, second] = bars;
  if (!first || !second || first.durationTicks > 0 || first.notes.length > 0) return bars;
  if (!first.irregular) {
    const message = 'The first bar has neither a note nor a rest: it counts as a whole bar of rest';
    issues.warn('bar.empty', message, { ...first.place, bar: first.number ?? 1 });
    return bars;
  }
  issues.warn('bar.empty', 'An empty pickup is left out', { ...first.place, bar: first.number ?? 0 });
  second.keys.unshift(...first.keys);
  second.tempos.unshift(...first.tempos);
  second.marks.unshift(...first.marks);
  second.route = { ...first.route, ...second.route };
  return bars.slice(1);
}

export function checkBarLengths(bars: readonly PrintedBar[], issues: IssueList): void {
  bars.forEach(({ draft, number, durationTicks, pickup }, i) => {
    const full = barTicks(draft.meter);
    if (draft.irregular || pickup || durationTicks === full) return;
    const atEdge = i === 0 || i === bars.length - 1 || draft.sectionEnd || bars[i + 1]?.pickup;
    if (durationTicks < full && atEdge) return;
    const place = { ...draft.place, bar: number };
    const quarters = quartersText(durationTicks);
    const message = `Bar ${number} lasts ${quarters} quarter notes, its meter ${meterText(draft.meter)} asks for ${quartersText(full)}`;
    issues.warn('bar.length', message, place);
  });
}

function quartersText(ticks: number): string {
  return String(Math.round((ticks / 10_080) * 1000) / 1000);
}
