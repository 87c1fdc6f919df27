import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { through } from '../../src/drills/through.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { arbitrarySpan } from './arbitrary-passage.ts';
import { line } from './line.ts';
import { made } from './made.ts';

// Five bars of four quarters.
const bars = line('C4 D4 E4 F4 G4 A4 B4 C5 D5 C5 B4 A4 G4 F4 E4 D4 C4 E4 G4 C5', { unitTicks: 10_080 });

describe('through', () => {
  it('takes in the bar before and the bar after, and does not stop', () => {
    const steps = made(through, { passage: bars, first: 9, last: 12 });
    expect(steps).toHaveLength(1);
    expect(ends(steps[0]!)).toEqual([5, 16]);
    expect(steps[0]).toMatchObject({ landing: false, joinsNext: false, pulse: 'click', leadInBeats: 4 });
  });

  it('begins at a bar line, however far into its bar the span begins', () => {
    expect(ends(made(through, { passage: bars, first: 11, last: 13 })[0]!)).toEqual([5, 20]);
  });

  it('takes what there is at the ends of the passage, a pickup too', () => {
    expect(ends(made(through, wholeSpan(bars))[0]!)).toEqual([1, 20]);
    const tune = line('G3 C4 D4 E4 F4 G4', { unitTicks: 10_080, pickupTicks: 10_080 });
    expect(ends(made(through, { passage: tune, first: 2, last: 5 })[0]!)).toEqual([1, 6]);
  });

  it('holds the whole span, in one unbroken run', () => {
    fc.assert(
      fc.property(arbitrarySpan(), (span) => {
        const [step] = made(through, span);
        const [first, last] = ends(step!);
        expect(first).toBeLessThanOrEqual(span.first);
        expect(last).toBeGreaterThanOrEqual(span.last);
        expect(step!.onsets.map((onset) => onset.tick)).toEqual(
          span.passage.onsets.slice(first! - 1, last).map((onset) => onset.tick),
        );
      }),
    );
  });
});

function ends(step: { onsets: readonly { number: number }[] }): number[] {
  return [step.onsets[0]!.number, step.onsets.at(-1)!.number];
}
