import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { widening } from '../../src/drills/widening.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { arbitrarySnag } from './arbitrary-passage.ts';
import { line } from './line.ts';
import { made, type OneLine, refused } from './made.ts';

const Q = 10_080;
const scale = line('C4 D4 E4 F4 G4 A4 B4 C5');

describe('widening', () => {
  it('grows from the two notes of the snag by one on each side, at an edge on the other side only', () => {
    const steps = made(widening, wholeSpan(scale), { snags: [3] });
    expect(numbers(steps)).toEqual([
      [3, 4],
      [2, 3, 4, 5],
      [1, 2, 3, 4, 5, 6],
      [1, 2, 3, 4, 5, 6, 7],
      [1, 2, 3, 4, 5, 6, 7, 8],
    ]);
    expect(steps.map((step) => step.name)).toEqual([
      'the snag: notes 3 to 4',
      'widening 1: notes 2 to 5',
      'widening 2: notes 1 to 6',
      'widening 3: notes 1 to 7',
      'widening 4: the whole span',
    ]);
  });

  it('enters at its own place in the bar after a bar counted in', () => {
    // Onset 4 is the second half of beat 2: the run begins on beat 2, with half a beat of rest.
    const [snag] = made(widening, wholeSpan(scale), { snags: [4] });
    expect(snag).toMatchObject({
      pulse: 'click',
      startTick: Q,
      stopTick: 2 * Q,
      landing: false,
      joinsNext: false,
    });
    expect(snag!.onsets.map((onset) => onset.tick)).toEqual([1.5 * Q, 2 * Q]);
    expect(snag!.clicks.filter((click) => click.tick < Q)).toEqual([
      { tick: -3 * Q, accent: 'beat' },
      { tick: -2 * Q, accent: 'beat' },
      { tick: -Q, accent: 'beat' },
      { tick: 0, accent: 'bar' },
    ]);
  });

  it('by beat takes in a beat on each side', () => {
    const tune = line('C4/2 D4/2 E4/2 F4/2 G4/2 A4/2 B4/2 C5/2 D5/2 C5/2 B4/2 A4/2 G4');
    const steps = made(widening, wholeSpan(tune), { snags: [6], variants: ['by-beat'] });
    expect(numbers(steps).map((run) => [run[0], run.at(-1)])).toEqual([
      [6, 7],
      [5, 9],
      [1, 13],
    ]);
  });

  it('grows on one side only where that is asked for, to the edge of the span', () => {
    const leading = made(widening, wholeSpan(scale), { snags: [3], variants: ['leading-in'] });
    expect(numbers(leading)).toEqual([
      [3, 4],
      [2, 3, 4],
      [1, 2, 3, 4],
    ]);
    expect(leading.at(-1)!.name).toBe('widening 2: notes 1 to 4');
    const going = made(widening, wholeSpan(scale), { snags: [6], variants: ['going-on'] });
    expect(numbers(going)).toEqual([
      [6, 7],
      [6, 7, 8],
    ]);
    const byBeat = made(widening, wholeSpan(scale), { snags: [4], variants: ['going-on', 'by-beat'] });
    expect(numbers(byBeat).map((run) => [run[0], run.at(-1)])).toEqual([
      [4, 5],
      [4, 7],
      [4, 8],
    ]);
  });

  it('on one side only makes every window once, also of several snags', () => {
    expect(numbers(made(widening, wholeSpan(scale), { snags: [2, 6], variants: ['leading-in'] }))).toEqual([
      [2, 3],
      [6, 7],
      [1, 2, 3],
      [5, 6, 7],
      [4, 5, 6, 7],
      [1, 2, 3, 4, 5, 6, 7],
    ]);
  });

  it('makes one window of two snags that meet', () => {
    const steps = made(widening, wholeSpan(scale), { snags: [6, 2] });
    expect(numbers(steps)).toEqual([
      [2, 3],
      [6, 7],
      [1, 2, 3, 4],
      [5, 6, 7, 8],
      [1, 2, 3, 4, 5, 6, 7, 8],
    ]);
  });

  it('makes one window at once of two snags that share a note', () => {
    expect(numbers(made(widening, wholeSpan(scale), { snags: [3, 4] }))[0]).toEqual([3, 4, 5]);
    expect(numbers(made(widening, wholeSpan(scale), { snags: [2, 5] }))).toEqual([
      [2, 3],
      [5, 6],
      [1, 2, 3, 4, 5, 6, 7],
      [1, 2, 3, 4, 5, 6, 7, 8],
    ]);
  });

  it('has the snag in every step and no interval in more, and ends with the whole span', () => {
    fc.assert(
      fc.property(arbitrarySnag(), fc.boolean(), ({ span, snag }, byBeat) => {
        const steps = made(widening, span, { snags: [snag], variants: byBeat ? ['by-beat'] : [] });
        for (const step of steps) {
          expect(step.onsets[0]!.number).toBeLessThanOrEqual(snag);
          expect(step.onsets.at(-1)!.number).toBeGreaterThan(snag);
        }
        for (let interval = span.first; interval < span.last; interval++) {
          const holding = steps.filter(
            (step) => step.onsets[0]!.number <= interval && step.onsets.at(-1)!.number > interval,
          );
          expect(holding.length).toBeLessThanOrEqual(steps.length);
        }
        expect(steps[0]!.onsets.map((onset) => onset.number)).toEqual([snag, snag + 1]);
        expect(steps.at(-1)!.onsets).toHaveLength(span.last - span.first + 1);
        for (let k = 1; k < steps.length; k++) {
          const grown = steps[k]!.onsets.length - steps[k - 1]!.onsets.length;
          expect(grown).toBeGreaterThanOrEqual(1);
          if (!byBeat) expect(grown).toBeLessThanOrEqual(2);
        }
      }),
    );
  });

  it('with several snags has every snag in one window of each stage', () => {
    fc.assert(
      fc.property(arbitrarySnag({ minOnsets: 6 }), fc.nat(), ({ span, snag }, n) => {
        const other = span.first + (n % (span.last - span.first));
        const steps = made(widening, span, { snags: [snag, other] });
        const holding = (interval: number) =>
          steps.filter((step) => step.onsets[0]!.number <= interval && step.onsets.at(-1)!.number > interval)
            .length;
        const most = Math.max(holding(snag), holding(other));
        for (let interval = span.first; interval < span.last; interval++) {
          expect(holding(interval)).toBeLessThanOrEqual(most);
        }
        expect(holding(snag)).toBe(holding(other));
      }),
    );
  });

  it('refuses without a snag, or with one outside the span', () => {
    const span = { passage: scale, first: 2, last: 5 };
    expect(refused(widening, span).code).toBe('drill.snag-missing');
    expect(refused(widening, span, { snags: [1] }).message).toBe(
      "Cannot make widening at snag 1: the span's intervals begin at onsets 2 to 4",
    );
    expect(refused(widening, span, { snags: [5] }).message).toContain("onset 5 is the span's last");
    expect(refused(widening, span, { snags: [2.5] }).code).toBe('drill.snag-outside');
  });
});

function numbers(steps: readonly OneLine[]): number[][] {
  return steps.map((step) => step.onsets.map((onset) => onset.number));
}
