import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { landings, stepFromOnset } from '../../src/drills/landings.ts';
import type { Every } from '../../src/drills/run-length.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { arbitrarySpan } from './arbitrary-passage.ts';
import { line } from './line.ts';
import { made, type OneLine } from './made.ts';

const EVERY: readonly Every[] = [0.5, 1, 2, 4, 'bar'];
const Q = 10_080;

describe('landings', () => {
  it('stop on the next beat, which belongs to the run', () => {
    const steps = made(landings, wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5 D5*2')));
    expect(numbers(steps)).toEqual([
      [1, 2, 3],
      [3, 4, 5],
      [5, 6, 7],
      [7, 8, 9],
    ]);
    expect(steps.map((step) => step.name)).toEqual([
      'bar 1, beats 1 to 2',
      'bar 1, beats 2 to 3',
      'bar 1, beats 3 to 4',
      'bar 1 beat 4 to bar 2 beat 1',
    ]);
  });

  it('count a bar in, then click every beat through the hold, and mark bar ones', () => {
    const [, second] = made(landings, wholeSpan(line('C4 D4 E4 F4 G4*4')));
    expect(second).toMatchObject({
      startTick: Q,
      stopTick: 2 * Q,
      leadInBeats: 4,
      holdBeats: 2,
      pulse: 'click',
    });
    expect(second!.clicks).toEqual([
      { tick: -3 * Q, accent: 'beat' },
      { tick: -2 * Q, accent: 'beat' },
      { tick: -Q, accent: 'beat' },
      { tick: 0, accent: 'bar' },
      { tick: Q, accent: 'beat' },
      { tick: 2 * Q, accent: 'beat' },
      { tick: 3 * Q, accent: 'beat' },
    ]);
    expect(second!.beats).toEqual([Q, 2 * Q, 3 * Q, 4 * Q]);
    expect(second!.endTick).toBe(4 * Q);
  });

  it('join until the last one', () => {
    const steps = made(landings, wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5 D5*2')));
    expect(steps.map((step) => step.joinsNext)).toEqual([true, true, true, false]);
    expect(steps.every((step) => step.landing)).toBe(true);
  });

  it('run on where a rest or a tied note lies on the beat', () => {
    const steps = made(landings, wholeSpan(line('C4 D4 - E4 F4 G4*2 A4 B4*2')));
    expect(numbers(steps)).toEqual([
      [1, 2, 3, 4],
      [4, 5, 6, 7],
    ]);
    expect(steps[1]!.stopTick).toBe(4 * Q);
  });

  it('after running on, come back to the boundaries of their size', () => {
    // Two-beat runs; beat 3 of bar 1 is a rest, so the first lands on 4, and the next aims at bar 2 again.
    const steps = made(landings, wholeSpan(line('C4 D4 E4 F4 - G4 A4 B4 C5*2 D5*2')), { every: 2 });
    expect(steps.map((step) => step.stopTick / Q)).toEqual([3, 4, 5]);
  });

  it('take the beat of a compound meter as the dotted one, and divide it in three', () => {
    const tune = line('C4 D4 E4 F4 G4 A4 B4*3 C5*3', { meter: { count: 6, unit: 8 } });
    expect(numbers(made(landings, wholeSpan(tune)))).toEqual([
      [1, 2, 3, 4],
      [4, 5, 6, 7],
      [7, 8],
    ]);
    expect(numbers(made(landings, wholeSpan(tune), { every: 0.5 })).slice(0, 3)).toEqual([
      [1, 2],
      [2, 3],
      [3, 4],
    ]);
    expect(made(landings, wholeSpan(tune))[0]!.leadInBeats).toBe(2);
  });

  it('land on the groups of five and seven eighths, counted and held in groups', () => {
    const tune = line('C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5', { meter: { count: 7, unit: 8 } });
    const steps = made(landings, wholeSpan(tune));
    expect(numbers(steps)).toEqual([
      [1, 2, 3],
      [3, 4, 5],
      [5, 6, 7, 8],
      [8, 9, 10],
      [10, 11],
    ]);
    expect(steps.map(({ name }) => name).slice(0, 3)).toEqual([
      'bar 1, beats 1 to 2',
      'bar 1, beats 2 to 3',
      'bar 1 beat 3 to bar 2 beat 1',
    ]);
    // In eighths: a bar of 2+2+3 counted before beat 2, the run, two beats (a three and a two) of hold from beat 3 on.
    const eighths = (ticks: readonly number[]) => ticks.map((tick) => tick / (Q / 2));
    const [, second] = steps;
    expect(eighths(second!.clicks.map(({ tick }) => tick))).toEqual([-5, -3, 0, 2, 4, 7]);
    expect(second!.clicks.map(({ accent }) => accent)).toEqual([
      'beat',
      'beat',
      'bar',
      'beat',
      'beat',
      'bar',
    ]);
    expect(eighths([second!.startTick, second!.stopTick, second!.endTick])).toEqual([2, 4, 9]);
    expect(eighths(second!.beats)).toEqual([2, 4, 7, 9]);
    expect(second!.tempo.beatTicks).toBe(Q / 2);
    expect(numbers(made(landings, wholeSpan(tune), { every: 0.5 })).every((run) => run.length === 2)).toBe(
      true,
    );
    expect(numbers(made(landings, wholeSpan(tune), { every: 'bar' }))).toEqual([
      [1, 2, 3, 4, 5, 6, 7, 8],
      [8, 9, 10, 11],
    ]);
  });

  it('stop on the downbeat after the span, where one is struck', () => {
    const tune = line('C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 G5 F5 E5 - D5');
    const last = (first: number, to: number) =>
      numbers(made(landings, { passage: tune, first, last: to }, { every: 'bar' })).at(-1);
    expect(last(1, 8)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9]);
    // Ends before the bar does; ends on a downbeat; a rest on the next one.
    expect(last(1, 7)!.at(-1)).toBe(7);
    expect(last(1, 9)!.at(-1)).toBe(9);
    expect(last(9, 16)!.at(-1)).toBe(16);
    // Whatever the runs' length: over the bar line is often the hardest join.
    expect(numbers(made(landings, { passage: tune, first: 1, last: 8 })).at(-1)).toEqual([7, 8, 9]);
  });

  it('land on the groups that the music writes', () => {
    const meter = { count: 5, unit: 8, groups: [3, 2] };
    const steps = made(landings, wholeSpan(line('C4 D4 E4 F4 G4 A4', { meter })));
    expect(numbers(steps)).toEqual([
      [1, 2, 3, 4],
      [4, 5, 6],
    ]);
    expect(steps[0]!.leadInBeats).toBe(2);
  });

  it('land on the groups of quarters that the music writes, counted beat by beat', () => {
    const meter = { count: 5, unit: 4, groups: [3, 2] };
    const tune = wholeSpan(line('C4 D4 E4 F4 G4 A4', { meter, unitTicks: Q }));
    const steps = made(landings, tune);
    expect(numbers(steps)).toEqual([
      [1, 2, 3, 4],
      [4, 5, 6],
    ]);
    expect(steps[1]!.clicks.map(({ tick, accent }) => [tick / Q, accent])).toEqual([
      [-2, 'group'],
      [-1, 'beat'],
      [0, 'bar'],
      [1, 'beat'],
      [2, 'beat'],
      [3, 'group'],
      [4, 'beat'],
      [5, 'bar'],
      [6, 'beat'],
    ]);
    expect(numbers(made(landings, tune, { every: 1 }))).toHaveLength(5);
    const growing = made(landings, tune, { every: 'growing' }).map(({ name }) => name);
    expect(growing[5]).toBe('by groups of beats: bar 1, beats 1 to 4');
    expect(growing).toHaveLength(5 + 2 + 1);
  });

  it('enter a pickup at its own place and land on bar one', () => {
    const steps = made(landings, wholeSpan(line('C4 D4 E4*2 F4*2 G4*2 A4*2 B4*2', { pickupTicks: Q })), {
      every: 4,
    });
    expect(numbers(steps)).toEqual([
      [1, 2, 3],
      [3, 4, 5, 6, 7],
    ]);
    expect(steps[0]!.name).toBe('pickup beat 4 to bar 1 beat 1');
    expect(steps[0]!.clicks.slice(0, 4)).toEqual([
      { tick: -4 * Q, accent: 'beat' },
      { tick: -3 * Q, accent: 'bar' },
      { tick: -2 * Q, accent: 'beat' },
      { tick: -Q, accent: 'beat' },
    ]);
  });

  it('begin on the beat before a first onset off the beat, as if with a rest', () => {
    const span = { passage: line('C4 D4 E4 F4 G4 A4/2 B4/2'), first: 2, last: 5 };
    expect(made(landings, span)[0]).toMatchObject({ startTick: 0, leadInBeats: 4 });
    expect(made(landings, span)[0]!.clicks[0]).toEqual({ tick: -4 * Q, accent: 'bar' });
    expect(made(landings, { ...span, first: 6, last: 7 }, { every: 0.5 })[0]!.startTick).toBe(2.5 * Q);
    expect(made(landings, { ...span, first: 6, last: 7 })[0]!.startTick).toBe(2 * Q);
  });

  it('never count in with fewer than two clicks', () => {
    const steps = made(landings, wholeSpan(line('C4*2 D4*2 E4*2', { meter: { count: 1, unit: 4 } })));
    expect(steps.map((step) => step.leadInBeats)).toEqual([2, 2]);
  });

  it('with `growing` pass through every size up to the whole span, leaving out sizes that stop in the same places', () => {
    const steps = made(landings, wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5 D5*2')), { every: 'growing' });
    expect(numbers(steps).map((run) => run.length)).toEqual([2, 2, 2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 5, 5, 9]);
    expect(steps.filter((step) => !step.joinsNext)).toHaveLength(4);
    expect(steps.at(-1)!.name).toBe('bar 1 beat 1 to bar 2 beat 1');
    expect(steps[0]!.name).toBe('by half beats: bar 1, beats 1 to 1&');
  });

  it('hold for as long as is asked, a bar too', () => {
    const tune = wholeSpan(line('C4 D4 E4 F4 G4', { meter: { count: 3, unit: 4 } }));
    expect(made(landings, tune, { hold: 1 })[0]!.holdBeats).toBe(1);
    const [step] = made(landings, tune, { hold: 'bar' });
    expect(step!.holdBeats).toBe(3);
    expect(step!.clicks.at(-1)!.tick).toBe(3 * Q);
  });

  it('find where to go on when the stops are set anew', () => {
    const span = wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5 D5*2'));
    const wide = made(landings, span, { every: 2 });
    const narrow = made(landings, span, { every: 1 });
    expect(stepFromOnset(narrow, wide[1]!.onsets[0]!.number)).toBe(2);
    expect(stepFromOnset(wide, 4)).toBe(0);
  });

  it('join by exactly one onset and, played without holds, are the span', () => {
    fc.assert(
      fc.property(arbitrarySpan(), fc.constantFrom(...EVERY), (span, every) => {
        const steps = made(landings, span, { every });
        const runs = numbers(steps);
        for (let k = 1; k < runs.length; k++) expect(runs[k]![0]).toBe(runs[k - 1]!.at(-1));
        const joined = runs.flatMap((run, k) => (k === 0 ? run : run.slice(1)));
        // The downbeat after the span may follow.
        const stop = joined.at(-1)!;
        expect(stop - span.last).toBeLessThanOrEqual(1);
        const { bars, onsets } = span.passage;
        if (stop > span.last)
          expect(bars.some(({ startTick, pickup }) => !pickup && startTick === onsets[span.last]!.tick)).toBe(
            true,
          );
        expect(stop).toBeGreaterThanOrEqual(span.last);
        expect(joined).toEqual(Array.from({ length: stop - span.first + 1 }, (_, i) => span.first + i));
      }),
    );
  });

  it('land on a beat boundary everywhere but at the tail of the span', () => {
    fc.assert(
      fc.property(arbitrarySpan(), (span) => {
        const steps = made(landings, span, { every: 1 });
        for (const step of steps.slice(0, -1)) expect(step.beats).toContain(step.stopTick);
      }),
    );
  });
});

function numbers(steps: readonly OneLine[]): number[][] {
  return steps.map((step) => step.onsets.map((onset) => onset.number));
}
