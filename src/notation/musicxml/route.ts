// Where a MusicXML score sends the player: repeats and endings of bar lines, and the jumps of <sound>, of signs and,
// where a file has only the words ("D.C. al Fine"), of words.

import type { BarRoute } from '../draft/playing-order.ts';
import { type DraftBar, FERMATA_OVER_BAR_LINE } from '../draft/score.ts';
import type { IssueList } from '../reading.ts';
import { child, childrenNamed, placeOf, type XmlElement } from './xml-tree.ts';

/** Words that stand for a jump when no <sound> says it. */
const WORDS: readonly [RegExp, BarRoute][] = [
  [/^\s*(d\.?\s*c\.?|da capo)(\s+al\s+(fine|coda))?\.?\s*$/i, { jump: 'capo' }],
  [/^\s*(d\.?\s*s\.?|dal segno)(\s+al\s+(fine|coda))?\.?\s*$/i, { jump: 'segno' }],
  [/^\s*to\s+coda\s*$/i, { toCoda: true }],
  [/^\s*fine\s*$/i, { fine: true }],
];

/** Endings under way in the first part: they hold for every bar from their start to their stop. */
export class EndingState {
  private active: readonly number[] | undefined;

  /** Takes a <barline> into the bar. */
  barLine(line: XmlElement, bar: DraftBar, issues: IssueList): void {
    const left = line.attributes.location === 'left';
    const style = child(line, 'bar-style')?.text.trim() ?? 'regular';
    if (!left && !['regular', 'dotted', 'dashed', 'short', 'tick', 'none'].includes(style))
      bar.sectionEnd = true;
    const repeat = child(line, 'repeat');
    if (repeat?.attributes.direction === 'forward') bar.route = { ...bar.route, repeatStart: true };
    if (repeat?.attributes.direction === 'backward') {
      const times = Number(repeat.attributes.times ?? 2);
      const known = Number.isInteger(times) && times >= 1 && times <= 100;
      if (!known) issues.warn('musicxml.repeat', 'A repeat is not understood: played twice', placeOf(repeat));
      bar.route = { ...bar.route, repeatTimes: known ? times : 2 };
      bar.sectionEnd = true;
    }
    for (const ending of childrenNamed(line, 'ending')) this.ending(ending, bar, issues);
    if (child(line, 'fermata')) issues.warn('fermata.bar-line', FERMATA_OVER_BAR_LINE, placeOf(line));
    if (child(line, 'segno')) bar.route = { ...bar.route, segno: true };
    if (child(line, 'coda')) bar.route = { ...bar.route, coda: true };
  }

  private ending(ending: XmlElement, bar: DraftBar, issues: IssueList): void {
    if (ending.attributes.type !== 'start') {
      this.apply(bar);
      this.active = undefined;
      return;
    }
    const numbers = (ending.attributes.number ?? '').split(/[\s,]+/).filter((n) => n !== '');
    if (numbers.length === 0 || numbers.some((n) => !/^\d{1,2}$/.test(n))) {
      issues.warn(
        'musicxml.ending',
        `Not understood: the ending "${ending.attributes.number}"`,
        placeOf(ending),
      );
      return;
    }
    this.active = numbers.map(Number);
    this.apply(bar);
  }

  /** At the end of every bar: an ending that goes on holds for it. */
  apply(bar: DraftBar): void {
    if (this.active) bar.route = { ...bar.route, endings: this.active };
  }
}

/** What a <sound> says. */
export function soundRoute(sound: XmlElement): BarRoute {
  const { dacapo, dalsegno, fine, tocoda, segno, coda } = sound.attributes;
  const forward = sound.attributes['forward-repeat'];
  return {
    ...(dacapo === 'yes' && { jump: 'capo' as const }),
    ...(dalsegno !== undefined && { jump: 'segno' as const }),
    ...(fine !== undefined && fine !== 'no' && { fine: true }),
    ...(tocoda !== undefined && { toCoda: true }),
    ...(segno !== undefined && { segno: true }),
    ...(coda !== undefined && { coda: true }),
    ...(forward === 'yes' && { repeatStart: true }),
  };
}

/** What the signs and words of a <direction> without a jumping <sound> say. */
export function directionRoute(direction: XmlElement): BarRoute {
  let route: BarRoute = {};
  for (const type of childrenNamed(direction, 'direction-type')) {
    for (const mark of type.children) {
      if (mark.name === 'segno') route = { ...route, segno: true };
      if (mark.name === 'coda') route = { ...route, coda: true };
      if (mark.name === 'words') {
        const found = WORDS.find(([words]) => words.test(mark.text));
        if (found) route = { ...route, ...found[1] };
      }
    }
  }
  return route;
}

/**
 * A coda sign stands at the jump and again at the coda: where a score has several and no "to coda", all but the last
 * are jumps.
 */
export function settleCodas(bars: readonly DraftBar[]): void {
  const signed = bars.filter((bar) => bar.route.coda);
  if (signed.length < 2 || bars.some((bar) => bar.route.toCoda)) return;
  for (const bar of signed.slice(0, -1)) {
    const { coda: _, ...route } = bar.route;
    bar.route = { ...route, toCoda: true };
  }
}
