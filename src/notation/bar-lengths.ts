// Numbers and lengths of printed bars: which are pickups, which are tails of a split bar, and a warning for every bar
// whose notes do not fill its meter where nothing explains it.

import { barTicks } from '../music/meter.ts';
import type { IssueList } from './reading.ts';
import type { DraftBar } from './score-draft.ts';

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
    const full = barTicks(draft.meter);
    const durationTicks = draft.durationTicks || full;
    const pickup = durationTicks < full && isTail(bars, i);
    const counted = pickup ? next - 1 : next;
    const number = draft.number ?? counted;
    next = number + 1;
    return { draft, number, durationTicks, pickup };
  });
}

/** The first bar, when short; or one that fills up the short bar before it, which it continues. */
function isTail(bars: readonly DraftBar[], i: number): boolean {
  if (i === 0) return bars.length > 1;
  const before = bars[i - 1]!;
  const full = barTicks(bars[i]!.meter);
  if (before.durationTicks === 0 || before.durationTicks >= barTicks(before.meter)) return false;
  if (i - 1 === 0) return false;
  return before.durationTicks + bars[i]!.durationTicks === full && !isTail(bars, i - 1);
}

export function checkBarLengths(bars: readonly PrintedBar[], issues: IssueList): void {
  bars.forEach(({ draft, number, durationTicks, pickup }, i) => {
    const full = barTicks(draft.meter);
    if (draft.irregular || pickup || durationTicks === full) return;
    const atEdge = i === 0 || i === bars.length - 1 || draft.sectionEnd || bars[i + 1]?.pickup;
    if (durationTicks < full && atEdge) return;
    const place = { ...draft.place, bar: number };
    const quarters = quartersText(durationTicks);
    const message = `Bar ${number} lasts ${quarters} quarter notes, its meter ${draft.meter.count}/${draft.meter.unit} asks for ${quartersText(full)}`;
    issues.warn('bar.length', message, place);
  });
}

function quartersText(ticks: number): string {
  return String(Math.round((ticks / 10_080) * 1000) / 1000);
}
