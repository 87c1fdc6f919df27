// What holds for the steps of every drill.

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DRILLS, findDrill } from '../../src/drills/catalogue.ts';
import type { Drill, DrillSettings } from '../../src/drills/drill.ts';
import { barTicks, beatLengths, beatsOfBar, meterText } from '../../src/music/meter.ts';
import type { Span } from '../../src/music/span.ts';
import { sample } from '../sample.ts';
import { arbitrarySnag, METERS } from './arbitrary-passage.ts';
import { line } from './line.ts';
import { made, type OneLine, oneLine, refused, value } from './made.ts';

/** Any drill with any settings that suit the span. */
const work = fc
  .tuple(arbitrarySnag({ maxOnsets: 40 }), fc.constantFrom(...DRILLS), fc.nat())
  .chain(([{ span, snag }, drill, n]) => {
    const variants = fc.subarray(
      Object.keys(drill.variants).filter((variant) => !variant.includes('inversion')),
    );
    return fc.record({
      span: fc.constant(span),
      drill: fc.constant(drill),
      settings: fc.record({
        tempo: fc.constant(span.passage.tempo),
        snags: fc.constant([snag, span.first + (n % (span.last - span.first))]),
        every: fc.constantFrom<NonNullable<DrillSettings['every']>>(0.5, 1, 2, 4, 'bar', 'growing'),
        hold: fc.constantFrom<NonNullable<DrillSettings['hold']>>(1, 2, 3, 'bar'),
        variants,
      }),
    });
  });

describe('the steps of every drill', () => {
  it('are in order: onsets, clicks and beats ascend, the run begins, stops and ends in that order', () => {
    everyStep((step) => {
      expect(ascends(step.onsets.map((onset) => onset.tick))).toBe(true);
      expect(ascends(step.clicks.map((click) => click.tick))).toBe(true);
      expect(ascends(step.beats)).toBe(true);
      expect(step.startTick).toBeLessThanOrEqual(step.onsets[0]!.tick);
      expect(step.stopTick).toBe(step.onsets.at(-1)!.tick);
      expect(step.endTick).toBeGreaterThan(step.stopTick);
      for (const click of step.clicks) expect(click.tick).toBeLessThan(step.endTick);
      for (const beat of step.beats) expect(beat).toBeLessThanOrEqual(step.endTick);
      expect(step.beats.some((beat) => beat > step.startTick)).toBe(true);
    });
  });

  it('with a click are counted in with at least two clicks on beats that lead to the start, even ones where the meter has them', () => {
    everyStep((step, { passage }, drill) => {
      const leadIn = step.clicks.filter((click) => click.tick < step.startTick);
      expect(leadIn).toHaveLength(step.leadInBeats);
      if (step.pulse === 'free') {
        expect(step.clicks).toEqual([]);
        return;
      }
      expect(leadIn.length).toBeGreaterThanOrEqual(2);
      // A pickup of less than a beat is counted in the meter that follows.
      const entered = passage.bars.find(
        (bar) => bar.startTick + bar.durationTicks > step.startTick && beatsOfBar(bar).length > 0,
      );
      const { meter } = entered ?? passage.bars.at(-1)!;
      // Switchback's click knows no bars.
      const lengths = drill.name === 'switchback' ? [step.tempo.beatTicks] : beatLengths(meter);
      const gaps = leadIn.slice(1).map((click, i) => click.tick - leadIn[i]!.tick);
      for (const gap of gaps) expect(lengths).toContain(gap);
      if (drill.name === 'switchback') return;
      const counted = leadIn[0]!.tick + Math.max(2, lengths.length) * (barTicks(meter) / lengths.length);
      expect(counted).toBeGreaterThanOrEqual(step.startTick);
      expect(counted).toBeLessThanOrEqual(step.startTick + Math.max(...lengths));
    });
  });

  it('click on every beat of run and hold', () => {
    everyStep((step) => {
      if (step.pulse === 'free') return;
      const run = step.clicks.filter((click) => click.tick >= step.startTick).map((click) => click.tick);
      expect(run).toEqual(step.beats.filter((beat) => beat < step.endTick));
    });
  });

  it('last as long as is notated, leans counted, where the rhythm is the music’s own', () => {
    everyStep((step, span, drill) => {
      if (drill.name === 'switchback' || drill.name === 'rhythms') return;
      const written = (number: number) => span.passage.onsets[number - 1]!.tick;
      const leans = step.onsets.slice(0, -1).reduce((sum, onset) => sum + (onset.leanTicks ?? 0), 0);
      const first = step.onsets[0]!;
      const last = step.onsets.at(-1)!;
      expect(last.tick - first.tick).toBe(written(last.number) - written(first.number) + leans);
    });
  });

  it('keep ticks from the passage’s start where they keep the beat, from their own where they are free', () => {
    everyStep((step, span, drill) => {
      if (drill.name === 'switchback' || drill.name === 'tenuto') expect(step.onsets[0]!.tick).toBe(0);
      else expect(step.onsets[0]!.tick).toBe(span.passage.onsets[step.onsets[0]!.number - 1]!.tick);
    });
  });

  it('expect the notes of the passage, ornaments with their onset', () => {
    everyStep((step, span) => {
      for (const onset of step.onsets) {
        const written = span.passage.onsets[onset.number - 1]!;
        expect(onset.notes.map((note) => note.pitch)).toEqual(written.notes.map((note) => note.pitch));
        expect(onset.notes.map((note) => note.ornament)).toEqual(written.notes.map((note) => note.ornament));
        expect(onset.durationTicks).toBe(Math.max(...onset.notes.map((note) => note.durationTicks)));
      }
    });
  });

  it('are counted in whole ticks', () => {
    everyStep((step) => {
      const ticks = [
        ...step.onsets.flatMap((onset) => [onset.tick, onset.durationTicks, onset.leanTicks ?? 0]),
        ...step.clicks.map((click) => click.tick),
        ...step.beats,
      ];
      expect(ticks.every(Number.isInteger)).toBe(true);
    });
  });

  it('leave the passage as it was, and come out the same each time', () => {
    fc.assert(
      fc.property(work, ({ span, drill, settings }) => {
        const frozen = deepFreeze(structuredClone(span));
        const once = drill.makeSteps(frozen, deepFreeze(settings));
        expect(structuredClone(once)).toEqual(structuredClone(drill.makeSteps(span, settings)));
      }),
    );
  });

  it.each(METERS.map((meter) => [meterText(meter), meter] as const))(
    'enter a bar of %s with a bar counted in',
    (_, meter) => {
      const tune = line('C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5', { meter });
      const [step] = made(value(findDrill('landings')), { passage: tune, first: 1, last: 12 });
      const beats = BEATS_OF[meterText(meter)]!;
      expect(step!.leadInBeats).toBe(Math.max(2, beats));
      if (beats >= 2) {
        expect(step!.clicks[0]).toEqual({ tick: -barTicks(meter), accent: 'bar' });
      }
    },
  );
});

/** Beats in a bar as they are conducted: common practice, no source. */
const BEATS_OF: Readonly<Record<string, number>> = {
  '4/4': 4,
  '3/4': 3,
  '2/4': 2,
  '6/8': 2,
  '9/8': 3,
  '12/8': 4,
  '2/2': 2,
  '3/8': 3,
  '5/8': 2,
  '7/8': 3,
  '3+2/8': 2,
  '3+2+2/8': 3,
  '3+3+2/8': 3,
  '2+2+2/8': 3,
  '11/16': 5,
  '5/4': 5,
  '1/4': 1,
};

describe('every drill', () => {
  const passage = line('C4 D4 E4 F4');

  it.each(DRILLS.map((drill) => [drill.name, drill] as const))(
    '%s refuses a span of one note',
    (_name, drill) => {
      const problem = refused(drill, { passage, first: 2, last: 2 }, { snags: [2] });
      expect(problem.code).toBe('drill.span-too-short');
      expect(problem.message).toBe(
        'Cannot work onsets 2 to 2: that is one onset, and there is no interval to work',
      );
      expect(problem.exitStatus).toBe(2);
    },
  );

  it.each(DRILLS.map((drill) => [drill.name, drill] as const))(
    '%s refuses a span outside the passage',
    (_name, drill) => {
      for (const [first, last] of [
        [0, 3],
        [2, 5],
        [1.5, 3],
        [Number.NaN, 3],
      ] as const) {
        expect(refused(drill, { passage, first, last }, { snags: [2] }).code).toBe('drill.span-outside');
      }
      expect(refused(drill, { passage, first: 3, last: 2 }, { snags: [2] }).code).toBe(
        'drill.span-too-short',
      );
    },
  );

  it.each(['landings', 'chain'])('%s refuses a run or a hold of no sensible length', (name) => {
    const drill = value(findDrill(name));
    const span = { passage, first: 1, last: 4 };
    for (const every of [0, -1, 1.5, 65, Number.NaN]) {
      expect(refused(drill, span, { every }).code).toBe('drill.every-range');
    }
    for (const hold of [0, -2, 1.5, 33, Number.NaN])
      expect(refused(drill, span, { hold }).code).toBe('drill.hold-range');
  });
});

describe('a span of thousands of onsets', () => {
  const names = ['C4', 'D4', 'E4', 'F4', 'G4', 'A4', 'G4', 'F4', 'E4', 'D4'];
  const spanOf = (count: number): Span => {
    const passage = line(Array.from({ length: count }, (_, i) => names[i % names.length]!).join(' '));
    return { passage, first: 1, last: count };
  };

  it.each([
    ['switchback', 19_999, 399_999_999],
    ['chain', 10_000, 100_019_999],
    ['widening', 10_000, 100_010_000],
  ] as const)('is refused by %s, whose steps would have too many notes', (name, steps, notes) => {
    const problem = refused(value(findDrill(name)), spanOf(20_000), { snags: [10_000] });
    expect(problem.code).toBe('drill.too-many-notes');
    expect(problem.message).toContain(`its ${steps} steps would have ${notes} notes in all, and 2000000 can`);
    expect(problem.hint).toBe('Choose a shorter span.');
  });

  it('is worked by drills whose steps do not grow', () => {
    const notes = sample(20_000, 2_000);
    for (const name of ['landings', 'through', 'tenuto'])
      expect(made(value(findDrill(name)), spanOf(notes), { snags: [notes / 2] }).length).toBeGreaterThan(0);
  });

  it('is worked by switchback as far as its notes can be made, none of them written out before it is met', () => {
    const laps = made(value(findDrill('switchback')), spanOf(1400));
    expect(laps).toHaveLength(1399);
    expect(laps.at(-1)!.onsets).toHaveLength(2799);
  });
});

// Helpers

function everyStep(check: (step: OneLine, span: Span, drill: Drill) => void): void {
  const numRuns = sample(200, 14);
  let steps = 0;
  fc.assert(
    fc.property(work, ({ span, drill, settings }) => {
      const result = drill.makeSteps(span, settings);
      if (!result.ok) {
        // The only thing that a sound span may be refused for here.
        expect(result.problem.code).toMatch(/^drill\.rhythms-(uneven|too-short)$/);
        // Another is drawn: a run that made no steps has checked none.
        fc.pre(false);
      }
      for (const step of result.value.map(oneLine)) {
        check(step, span, drill);
        steps++;
      }
    }),
    { numRuns },
  );
  expect(steps).toBeGreaterThan(numRuns);
}

function ascends(ticks: readonly number[]): boolean {
  return ticks.every((tick, i) => i === 0 || tick > ticks[i - 1]!);
}

function deepFreeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null) {
    Object.freeze(value);
    for (const inside of Object.values(value)) deepFreeze(inside);
  }
  return value;
}
