// A drill sheet: the passage with its snag marked, then each drill written out as a player reads it. Plain data; the
// engraver and the page come later.

import { type Annotation, shifted } from '../music/annotation.ts';
import type { Passage } from '../music/passage.ts';
import { onsetNumbered, type Span } from '../music/span.ts';

export interface SheetSection {
  readonly heading: string;
  /** How to practise it, a paragraph each. */
  readonly words: readonly string[];
  /** Tempi to tick off, in beats a minute; empty where the section is only read. */
  readonly rungsBpm: readonly number[];
  readonly music: Passage;
}

export interface Sheet {
  readonly title: string;
  readonly subtitle: readonly [left: string, right: string];
  readonly sections: readonly SheetSection[];
  readonly footer?: string;
}

/** What stands under an onset, by its number: which hand or which alternate takes it. */
export type FingerMarks = ReadonlyMap<number, string>;

/** The bars of a span as a passage of their own, its snags bracketed. */
export function spanMusic(span: Span, snags: readonly number[], marks: FingerMarks): Passage {
  const { passage } = span;
  const from = onsetNumbered(passage, span.first).tick;
  const last = onsetNumbered(passage, span.last).tick;
  const bars = passage.bars.filter(
    (bar) => bar.startTick + bar.durationTicks > from && bar.startTick <= last,
  );
  const origin = bars[0]!.startTick;
  const end = bars.at(-1)!.startTick + bars.at(-1)!.durationTicks;
  const inside = <T extends { readonly tick: number }>(items: readonly T[]) =>
    items
      .filter(({ tick }) => tick >= origin && tick < end)
      .map((item) => ({ ...item, tick: item.tick - origin }));
  const inForce = <T extends { readonly tick: number }>(changes: readonly T[]) => {
    const before = changes.findLast(({ tick }) => tick <= origin);
    const after = inside(changes).filter(({ tick }) => tick > 0);
    return before ? [{ ...before, tick: 0 }, ...after] : after;
  };
  const annotations = snags.map(
    (snag): Annotation => ({
      kind: 'bracket',
      tick: onsetNumbered(passage, snag).tick - origin,
      endTick: onsetNumbered(passage, snag + 1).tick - origin,
      text: 'snag',
    }),
  );
  return {
    ...passage,
    keys: inForce(passage.keys),
    tempoChanges: inside(passage.tempoChanges),
    bars: bars.map((bar) => ({ ...bar, startTick: bar.startTick - origin })),
    rehearsalMarks: inside(passage.rehearsalMarks),
    onsets: inside(passage.onsets),
    endTick: end - origin,
    annotations: [...annotations, ...fingerings(span, marks).map((one) => shifted(one, -origin))],
  };
}

function fingerings({ passage, first, last }: Span, marks: FingerMarks): Annotation[] {
  return [...marks]
    .filter(([number]) => number >= first && number <= last)
    .map(([number, text]) => ({ kind: 'under', tick: onsetNumbered(passage, number).tick, text }));
}
