import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isEven, rhythms } from '../../src/drills/rhythms.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { arbitraryPassage, arbitrarySpan } from './arbitrary-passage.ts';
import { line } from './line.ts';
import { made, refused } from './made.ts';

const nine = wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5 D5*4', { unitTicks: 2520 }));

describe('rhythms', () => {
  it('are dotted pairs and groups of four with the long note in each place', () => {
    const steps = made(rhythms, nine);
    expect(steps.map((step) => step.name)).toEqual([
      'long-short',
      'short-long',
      'long-short-short-short',
      'short-long-short-short',
      'short-short-long-short',
      'short-short-short-long',
    ]);
    expect(intervals(steps[0]!)).toEqual([3780, 1260, 3780, 1260, 3780, 1260, 3780, 1260]);
    expect(intervals(steps[1]!)).toEqual([1260, 3780, 1260, 3780, 1260, 3780, 1260, 3780]);
    expect(intervals(steps[3]!)).toEqual([1680, 5040, 1680, 1680, 1680, 5040, 1680, 1680]);
  });

  it('keep the beat: groups begin where they were written, and the click goes on', () => {
    for (const step of made(rhythms, nine)) {
      expect(step.pulse).toBe('click');
      expect(step.onsets[4]!.tick).toBe(10_080);
      expect(step.onsets.at(-1)!.tick).toBe(20_160);
      expect(step.onsets.at(-1)!.durationTicks).toBe(10_080);
    }
  });

  it('are groups of three where the beat holds three', () => {
    const tune = line('C4 D4 E4 F4 G4 A4 B4*3', { meter: { count: 6, unit: 8 } });
    const steps = made(rhythms, wholeSpan(tune));
    expect(steps.map((step) => step.name)).toEqual([
      'long-short-short',
      'short-long-short',
      'short-short-long',
    ]);
    expect(intervals(steps[1]!)).toEqual([3780, 7560, 3780, 3780, 7560, 3780]);
  });

  it('can be asked for by group', () => {
    expect(made(rhythms, nine, { variants: ['threes'] })).toHaveLength(3);
    expect(made(rhythms, nine, { variants: ['pairs', 'fours'] })).toHaveLength(6);
  });

  it('count their groups from the bar line; what comes before the first stays even', () => {
    const span = { ...nine, first: 2 };
    expect(intervals(made(rhythms, span)[0]!)).toEqual([2520, 3780, 1260, 3780, 1260, 3780, 1260]);
    expect(intervals(made(rhythms, span)[2]!)).toEqual([2520, 2520, 2520, 5040, 1680, 1680, 1680]);
  });

  it('refuse a line that is not even and say where it is', () => {
    const problem = refused(rhythms, wholeSpan(line('C4*2 D4 E4 F4 G4 A4*2 B4')));
    expect(problem.message).toBe(
      'Cannot make rhythms of onsets 1 to 7: the line is not even, the interval from onset 2 to 3 is not as long as those before it',
    );
    expect(problem.hint).toBe('The longest even run here is onsets 2 to 6: choose that span.');
  });

  it('refuse when no group is whole', () => {
    const problem = refused(rhythms, { ...nine, last: 3 }, { variants: ['fours'] });
    expect(problem.code).toBe('drill.rhythms-too-short');
  });

  it('last exactly as long as is notated, chords and held notes too', () => {
    const even = fc.constantFrom(1260, 2016, 2520, 3360, 5040, 1120, 315);
    fc.assert(
      fc.property(
        even.chain((evenTicks) =>
          fc.tuple(fc.constant(evenTicks), arbitrarySpan({ evenTicks, minOnsets: 4 })),
        ),
        ([evenTicks, span]) => {
          const written = span.passage.onsets.slice(span.first - 1, span.last);
          for (const step of made(rhythms, span)) {
            expect(step.onsets).toHaveLength(written.length);
            const last = step.onsets.at(-1)!;
            expect(last.tick + last.durationTicks).toBe(written.at(-1)!.tick + evenTicks);
            expect(step.onsets[0]!.tick).toBe(written[0]!.tick);
            for (const interval of intervals(step)) expect(interval).toBeGreaterThan(0);
          }
        },
      ),
    );
  });

  it('are made exactly where the line is even', () => {
    fc.assert(
      fc.property(arbitraryPassage({ maxOnsets: 4 }), (passage) => {
        const ticks = passage.onsets.map((onset) => onset.tick);
        const distances = new Set(ticks.slice(1).map((tick, i) => tick - ticks[i]!));
        expect(isEven(wholeSpan(passage))).toBe(distances.size === 1);
      }),
    );
  });
});

function intervals(step: { onsets: readonly { tick: number }[] }): number[] {
  return step.onsets.slice(1).map((onset, i) => onset.tick - step.onsets[i]!.tick);
}
