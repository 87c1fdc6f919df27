// The bars of one voice of an ABC tune: those that are filled, the one that is being filled, and the ways through them
// (repeats, endings, sections, jumps).

import { barTicks, type Meter } from '../../music/meter.ts';
import type { BarRoute } from '../draft/playing-order.ts';
import { type DraftBar, emptyBar } from '../draft/score.ts';
import type { FilePlace, IssueList } from '../reading.ts';
import type { BarLine } from './bar-line.ts';

const MOST_BARS = 20_000;

export class VoiceBars {
  readonly filled: DraftBar[] = [];
  /** Bar index where each P: section begins. */
  readonly sections: { readonly label: string; readonly bar: number }[] = [];
  current: DraftBar;
  private meter: Meter;
  private free: boolean;
  private activeEndings: readonly number[] | undefined;
  private readonly issues: IssueList;

  constructor(meter: Meter | 'free', issues: IssueList) {
    this.issues = issues;
    this.free = meter === 'free';
    this.meter = meter === 'free' ? { count: 4, unit: 4 } : meter;
    this.current = this.newBar();
  }

  /** A whole bar's, in ticks. */
  get wholeTicks(): number {
    return barTicks(this.meter);
  }

  private newBar(route: BarRoute = {}): DraftBar {
    const bar = emptyBar(this.meter);
    bar.irregular = this.free;
    bar.route = { ...route, ...(this.activeEndings && { endings: this.activeEndings }) };
    return bar;
  }

  /** `isBegun`: something stands in the current bar already. */
  setMeter(meter: Meter | 'free', isBegun: boolean, place: FilePlace): void {
    if (isBegun) {
      this.issues.warn(
        'abc.meter-inside',
        'The meter changes inside a bar: it holds from the next bar on',
        place,
      );
    }
    this.free = meter === 'free';
    if (meter !== 'free') this.meter = meter;
    if (isBegun) return;
    this.current.meter = this.meter;
    this.current.irregular = this.free;
  }

  beginSection(label: string, offset: number, isBegun: boolean): void {
    this.current.marks.push({ offset, text: label });
    this.sections.push({ label, bar: this.filled.length + (isBegun ? 1 : 0) });
  }

  /** Segno and coda stand at the start of a bar; fine, to coda and jumps take effect at its end. */
  addRoute(route: BarRoute, isBegun: boolean): void {
    const ends = route.fine || route.toCoda || route.jump;
    const before = this.filled.at(-1);
    if (ends && !isBegun && before) before.route = { ...before.route, ...route };
    else this.current.route = { ...this.current.route, ...route };
  }

  /** `durationTicks`: of the current bar; undefined where nothing is in it, and the line belongs to the bar before. */
  close(line: BarLine, durationTicks: number | undefined): void {
    const carried = durationTicks === undefined ? this.current : undefined;
    const target = carried ? this.filled.at(-1) : this.current;
    if (durationTicks !== undefined) {
      this.current.durationTicks = durationTicks;
      this.filled.push(this.current);
      if (this.filled.length > MOST_BARS)
        this.issues.error('abc.bars', `Cannot read more than ${MOST_BARS} bars`);
    }
    if (target) {
      if (line.repeatTimes) target.route = { ...target.route, repeatTimes: line.repeatTimes };
      if (line.strong) target.sectionEnd = true;
    }
    if (line.strong) this.activeEndings = undefined;
    if (line.endings) this.activeEndings = line.endings;
    const route: BarRoute = {
      ...(line.repeatStart && { repeatStart: true }),
      ...(line.section && this.filled.length > 0 && { sectionStart: true }),
    };
    if (carried) {
      const { endings: _, ...kept } = carried.route;
      carried.route = { ...kept, ...route, ...(this.activeEndings && { endings: this.activeEndings }) };
    } else this.current = this.newBar(route);
  }
}
