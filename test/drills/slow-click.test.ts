import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { landings } from '../../src/drills/landings.ts';
import { clickedSlowly } from '../../src/drills/slow-click.ts';
import type { Run } from '../../src/drills/step.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { arbitrarySpan } from './arbitrary-passage.ts';
import { line } from './line.ts';
import { made } from './made.ts';

const Q = 10_080;

/** The first run of landings over a line, at so many of the tempo's beats a minute. */
function firstRun(bpm: number, meter = { count: 4, unit: 4 }, beatTicks = Q): Run {
  const tune = wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5 D5', { meter, unitTicks: Q / 2 }));
  return made(landings, tune, { hold: 1, tempo: { bpm, beatTicks } })[0]!.run;
}

const ticks = ({ clicks }: Run) => clicks.map(({ tick }) => tick / Q);

describe('a slow click', () => {
  it('counts two beats in and falls inside every beat, of lead-in, run and hold', () => {
    const run = clickedSlowly(firstRun(27), undefined);
    expect(run.leadInBeats).toBe(2);
    expect(ticks(run)).toEqual([-2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5]);
    expect(run.clicks.filter(({ accent }) => accent === 'division').map(({ tick }) => tick / Q)).toEqual([
      -1.5, -0.5, 0.5, 1.5,
    ]);
    // Two beats at 27 a minute: four seconds and a half, where four had taken nine.
    expect((2 * 60) / 27).toBeLessThan(4.5);
  });

  it('begins where a beat lasts longer than a second and a half', () => {
    const usual = firstRun(40);
    expect(clickedSlowly(usual, undefined)).toBe(usual);
    expect(clickedSlowly(firstRun(39.9), undefined).leadInBeats).toBe(2);
  });

  it('is in eighths in six eighths and in unequal beats, which are slow by their longest', () => {
    const six = clickedSlowly(firstRun(39, { count: 6, unit: 8 }, 1.5 * Q), undefined);
    expect(ticks(six).filter((tick) => tick < 1.5)).toEqual([-3, -2.5, -2, -1.5, -1, -0.5, 0, 0.5, 1]);
    // Three eighths at 115 a minute last longer than a second and a half.
    const seven = firstRun(115, { count: 7, unit: 8 }, Q / 2);
    expect(seven.leadInBeats).toBe(3);
    expect(ticks(clickedSlowly(seven, undefined)).filter((tick) => tick < 0)).toEqual([
      -2.5, -2, -1.5, -1, -0.5,
    ]);
    expect(clickedSlowly(firstRun(121, { count: 7, unit: 8 }, Q / 2), undefined).leadInBeats).toBe(3);
  });

  it('stays on the beats where the player asked for that, the lead-in short all the same', () => {
    expect(ticks(clickedSlowly(firstRun(27), 'beat'))).toEqual([-2, -1, 0, 1]);
  });

  it('leaves all else of a run as it is', () => {
    fc.assert(
      fc.property(arbitrarySpan(), (span) => {
        for (const { run } of made(landings, span, { tempo: { bpm: 20, beatTicks: Q } })) {
          const slow = clickedSlowly(run, undefined);
          const beats = slow.clicks.filter(({ accent }) => accent !== 'division');
          expect(beats).toEqual(run.clicks.slice(-beats.length));
          expect({ ...slow, clicks: [], leadInBeats: 0 }).toEqual({ ...run, clicks: [], leadInBeats: 0 });
        }
      }),
    );
  });
});
