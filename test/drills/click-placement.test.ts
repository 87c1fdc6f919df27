import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  CLICK_PLACEMENTS,
  type ClickPlacement,
  placeClicks,
  placeClicksInRow,
} from '../../src/drills/click-placement.ts';
import { landings } from '../../src/drills/landings.ts';
import type { Step } from '../../src/drills/step.ts';
import { switchback } from '../../src/drills/switchback.ts';
import { through } from '../../src/drills/through.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { arbitrarySpan } from './arbitrary-passage.ts';
import { line } from './line.ts';
import { made } from './made.ts';

const Q = 10_080;
const PLACEMENTS = Object.keys(CLICK_PLACEMENTS) as ClickPlacement[];
/** Six bars of 2/4 in quarters, and what follows. */
const sixBars = wholeSpan(
  line('C4 D4 E4 F4 G4 A4 B4 C5 D5 C5 B4 A4 G4', { meter: { count: 2, unit: 4 }, unitTicks: Q }),
);

describe('the placement of the click', () => {
  it('on half beats adds a division inside every beat of lead-in, run and hold', () => {
    const [step] = made(landings, wholeSpan(line('C4 D4 E4 F4 G4')), { hold: 1 });
    expect(placeClicks(step!, 'half').run.clicks).toEqual([
      { tick: -4 * Q, accent: 'bar' },
      { tick: -3.5 * Q, accent: 'division' },
      { tick: -3 * Q, accent: 'beat' },
      { tick: -2.5 * Q, accent: 'division' },
      { tick: -2 * Q, accent: 'beat' },
      { tick: -1.5 * Q, accent: 'division' },
      { tick: -Q, accent: 'beat' },
      { tick: -0.5 * Q, accent: 'division' },
      { tick: 0, accent: 'bar' },
      { tick: Q / 2, accent: 'division' },
      { tick: Q, accent: 'beat' },
      { tick: 1.5 * Q, accent: 'division' },
    ]);
  });

  it('on half beats in compound meter falls on the thirds of the dotted beat', () => {
    const tune = wholeSpan(line('C4 D4 E4 F4 G4 A4 B4*3', { meter: { count: 6, unit: 8 } }));
    const [step] = made(landings, tune, { hold: 1 });
    expect(run(placeClicks(step!, 'half'))).toEqual([0, 5040, 10_080, 15_120, 20_160, 25_200]);
    expect(run(placeClicks(step!, 'offbeat'))).toEqual([5040, 10_080, 20_160, 25_200]);
  });

  it('on half beats in unequal beats falls on every unit, also where a run begins inside a beat', () => {
    const tune = wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5 D5', { meter: { count: 7, unit: 8 } }));
    const [step] = made(landings, tune, { hold: 2 });
    const eighths = (placed: Step) => run(placed).map((tick) => tick / 5040);
    expect(eighths(placeClicks(step!, 'half'))).toEqual([0, 1, 2, 3, 4, 5, 6]);
    expect(eighths(placeClicks(step!, 'offbeat'))).toEqual([1, 3, 5, 6]);
    const inside = made(landings, tune, { every: 0.5, hold: 1 })[5];
    expect(inside!.startTick).toBe(5 * 5040);
    expect(eighths(placeClicks(inside!, 'half'))).toEqual([5, 6, 7, 8]);
  });

  it('on bar ones leaves the lead-in and the bar ones', () => {
    const [step] = made(through, sixBars);
    expect(run(placeClicks(step!, 'bar'))).toEqual([0, 2, 4, 6, 8, 10, 12].map((beat) => beat * Q));
    expect(placeClicks(step!, 'bar').run.clicks.filter((click) => click.tick < 0)).toHaveLength(2);
  });

  it('on off-beats leaves the beats silent', () => {
    const [step] = made(landings, wholeSpan(line('C4 D4 E4 F4 G4')), { hold: 1 });
    expect(run(placeClicks(step!, 'offbeat'))).toEqual([Q / 2, 1.5 * Q]);
  });

  it('on off-beats also sounds where a run begins off the beat', () => {
    const steps = made(landings, wholeSpan(line('C4 D4 E4 F4 G4')), { every: 0.5, hold: 1 });
    expect(steps[1]!.startTick).toBe(Q / 2);
    expect(run(placeClicks(steps[1]!, 'offbeat'))).toEqual([Q / 2, 1.5 * Q]);
  });

  it('in silent bars sounds for two bars and rests for two', () => {
    const [step] = made(through, sixBars);
    expect(run(placeClicks(step!, 'silent-bars')).map((tick) => tick / Q)).toEqual([
      0, 1, 2, 3, 8, 9, 10, 11,
    ]);
  });

  it('in silent bars counts on through joins and holds', () => {
    const steps = made(landings, sixBars, { every: 'bar', hold: 'bar' });
    // Each run is one bar, its hold another: the first run and its hold sound, the second and its hold rest.
    const sounding = placeClicksInRow(steps, 'silent-bars').map((step) => run(step).length);
    expect(sounding).toEqual([4, 0, 4, 0, 4, 0]);
    expect(run(placeClicks(steps[1]!, 'silent-bars'))).toHaveLength(4);
  });

  it('leaves free steps and everything but the clicks alone', () => {
    fc.assert(
      fc.property(arbitrarySpan({ maxOnsets: 20 }), fc.constantFrom(...PLACEMENTS), (span, placement) => {
        for (const step of [...made(landings, span), ...made(switchback, span)]) {
          const placed = placeClicks(step, placement);
          expect(placed.lines).toBe(step.lines);
          expect({ ...placed.run, clicks: [] }).toEqual({ ...step.run, clicks: [] });
          if (step.pulse === 'free') expect(placed.run.clicks).toEqual([]);
          const counted = placed.run.clicks.filter((click) => click.tick < step.startTick);
          expect(counted.filter(({ accent }) => accent !== 'division')).toEqual(
            step.clicks.filter((click) => click.tick < step.startTick),
          );
          if (placement !== 'half') expect(counted.every(({ accent }) => accent !== 'division')).toBe(true);
        }
      }),
    );
  });

  it('on half beats is the beats and the off-beats together', () => {
    fc.assert(
      fc.property(arbitrarySpan(), (span) => {
        for (const step of made(landings, span, { every: 0.5 })) {
          const both = [...run(step), ...run(placeClicks(step, 'offbeat'))].sort((a, b) => a - b);
          expect(run(placeClicks(step, 'half'))).toEqual(both);
        }
      }),
    );
  });
});

/** Ticks of the clicks after the lead-in. */
function run({ run: { clicks, startTick } }: Step): number[] {
  return clicks.map((click) => click.tick).filter((tick) => tick >= startTick);
}
