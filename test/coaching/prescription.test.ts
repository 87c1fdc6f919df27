import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Difficulty, Snag, SnagKind, WholeFault } from '../../src/coaching/difficulty.ts';
import { prescribe } from '../../src/coaching/prescription.ts';
import { planDrills } from '../../src/drills/drill-run.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { prescriptionSentence } from '../../src/wording/prescription.ts';
import { arbitrarySnag, arbitrarySpan } from '../drills/arbitrary-passage.ts';
import { line } from '../drills/line.ts';
import { value } from '../drills/made.ts';

const tune = line('C4 D4 E4 F4 G4 A4 B4 D#5 C5 B4 A4 G4 F4 E4 D4 C4 D4 E4 F4 G4 A4 B4 C5 D5', {
  unitTicks: 2520,
});
const span = wholeSpan(tune);

describe('the prescription', () => {
  it('for one interval: tenuto, widening, then through up the ladder', () => {
    const { drills, why } = prescribe({ kind: 'interval', snag: snagAt(7) }, span);
    expect(drills.map((drill) => drill.name)).toEqual(['tenuto', 'widening', 'through']);
    expect(drills.map((drill) => drill.settings.snags)).toEqual([[7], [7], undefined]);
    expect(drills.map((drill) => drill.ladder)).toEqual([false, false, true]);
    expect(prescriptionSentence(why, tune)).toContain('Only B4 to D#5 trips');
  });

  it('for one interval that is too long already does not lean on it', () => {
    for (const kind of ['dragged', 'hesitant'] as const) {
      const { drills } = prescribe({ kind: 'interval', snag: { ...snagAt(7), kinds: [kind] } }, span);
      expect(drills.map((drill) => drill.name)).toEqual(['switchback', 'widening', 'through']);
    }
  });

  it('for several beats: landings, switchback, widening on the worst interval, then through', () => {
    const { drills } = prescribe({ kind: 'beats', first: 5, last: 21, worst: snagAt(7) }, span);
    expect(drills.map((drill) => drill.name)).toEqual(['landings', 'switchback', 'widening', 'through']);
    expect(drills[0]).toMatchObject({ first: 5, last: 21, settings: { hold: 2 } });
    expect(drills[2]!.settings.snags).toEqual([7]);
    const around = drills[1]!;
    expect(around.last - around.first + 1).toBe(12);
    expect(around.first).toBeLessThanOrEqual(7);
    expect(around.last).toBeGreaterThanOrEqual(8);
  });

  it('for a whole line: runs that grow, rhythms where it is even, its bars in a chain', () => {
    const names = prescribe({ kind: 'line', worst: snagAt(7) }, span).drills.map((drill) => drill.name);
    expect(names).toEqual(['landings', 'rhythms', 'chain', 'widening', 'through']);
    const uneven = wholeSpan(line('C4 D4/2 E4 F4'));
    expect(
      prescribe({ kind: 'line', worst: snagAt(2) }, uneven).drills.map((drill) => drill.name),
    ).not.toContain('rhythms');
  });

  it('for rushing: holds, then less and less click', () => {
    const { drills, why } = prescribe({ kind: 'rushing', first: 1, last: 24, share: -0.12 }, span);
    expect(drills.map((drill) => [drill.name, drill.click])).toEqual([
      ['landings', 'half'],
      ['rhythms', undefined],
      ['through', 'offbeat'],
      ['through', 'silent-bars'],
    ]);
    expect(prescriptionSentence(why, tune)).toContain('by 12 %');
  });

  it('for a hesitation: the join itself in time, then from further away', () => {
    const { drills } = prescribe({ kind: 'hesitation', snag: snagAt(12) }, span);
    expect(drills.map((drill) => drill.name)).toEqual(['widening', 'chain', 'through']);
    expect(drills[0]!.settings.snags).toEqual([12]);
  });

  it('for nothing in particular: through up the ladder', () => {
    expect(prescribe({ kind: 'none' }, span).drills.map((drill) => [drill.name, drill.ladder])).toEqual([
      ['through', true],
    ]);
  });

  it('can always be played, stays in the span, and says why in a sentence', () => {
    fc.assert(
      fc.property(difficulties(), ({ span: ours, difficulty }) => {
        const { drills, why } = prescribe(difficulty, ours);
        expect(drills.length).toBeGreaterThan(0);
        expect(prescriptionSentence(why, ours.passage)).toMatch(/^[A-Z].*[.]$/);
        for (const { name, first, last, settings, click } of drills) {
          expect(first).toBeGreaterThanOrEqual(ours.first);
          expect(last).toBeLessThanOrEqual(ours.last);
          const stretch = { passage: ours.passage, first, last };
          const asked = { tempo: ours.passage.tempo, ...settings, ...(click ? { click } : {}) };
          expect(value(planDrills([name], stretch, asked))[0]!.steps.length).toBeGreaterThan(0);
        }
      }),
    );
  });
});

// Helpers

function snagAt(onset: number): Snag {
  return { onset, kinds: ['rushed'], deviationMicros: -30_000, confidence: 0.9, weight: 1 };
}

/** Any trouble anywhere, outside the span too. */
function difficulties() {
  const place = fc.integer({ min: 1, max: 70 });
  const difficulty: fc.Arbitrary<Difficulty> = fc.oneof(
    fc.tuple(place, fc.constantFrom<SnagKind>('rushed', 'dragged', 'blips')).map(([onset, kind]) => ({
      kind: 'interval' as const,
      snag: { ...snagAt(onset), kinds: [kind] },
    })),
    fc.tuple(place, place, place).map(([a, b, worst]) => ({
      kind: 'beats' as const,
      first: Math.min(a, b),
      last: Math.max(a, b),
      worst: snagAt(worst),
    })),
    place.map((onset) => ({ kind: 'line' as const, worst: snagAt(onset) })),
    fc.tuple(place, place).map(([a, b]) => ({
      kind: 'rushing' as const,
      first: Math.min(a, b),
      last: Math.max(a, b),
      share: -0.1,
    })),
    place.map((onset) => ({ kind: 'hesitation' as const, snag: snagAt(onset) })),
    fc.constant({ kind: 'none' as const }),
    fc.constant({ kind: 'unsettled' as const }),
    fc
      .constantFrom<WholeFault>(
        'too slow',
        'too fast',
        'slowing',
        'speeding',
        'lilting',
        'uneven',
        'hands apart',
        'evened',
        'set otherwise',
        'off the click',
      )
      .map((fault) => ({ kind: 'whole' as const, fault })),
  );
  const spans = fc.oneof(
    arbitrarySpan(),
    arbitrarySpan({ evenTicks: 2520 }),
    arbitrarySnag({ maxOnsets: 3 }).map((placed) => placed.span),
  );
  return fc.record({ span: spans, difficulty });
}
