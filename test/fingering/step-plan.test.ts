// The fingerings of a drill's steps against those of its passage.

import { describe, expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { DRILLS } from '../../src/drills/catalogue.ts';
import type { DrillSettings } from '../../src/drills/drill.ts';
import { passagePlan } from '../../src/fingering/passage-plan.ts';
import { stepPlan } from '../../src/fingering/step-plan.ts';
import type { Passage } from '../../src/music/passage.ts';
import { type Span, wholeSpan } from '../../src/music/span.ts';
import { line } from '../drills/line.ts';

// C#5 to C5 must slide somewhere: D#5 stands at both ends, two free notes between them.
const SLIDES = line('E5 D#5 C#5 C5 D#5 E5', { instrument: 'clarinet' });

function plansOf(
  passage: Passage,
  drill: string,
  settings: Partial<DrillSettings> = {},
  span = wholeSpan(passage),
) {
  const planned = need(passagePlan(passage));
  const made = need(
    DRILLS.find(({ name }) => name === drill)!.makeSteps(span, {
      tempo: passage.tempo,
      ...settings,
    }),
  );
  const [whole] = planned;
  const steps = made.map(({ lines, run }) => ({
    onsets: lines[0]!.onsets,
    ...stepPlan(whole!, lines[0]!.onsets, run.tempo),
  }));
  return { whole: whole!, steps };
}

describe('the plan of a step', () => {
  it.each(['landings', 'widening', 'chain', 'through', 'rhythms'])('of %s is the passage’s', (drill) => {
    const { whole, steps } = plansOf(SLIDES, drill, { snags: [3] });
    expect(steps.length).toBeGreaterThan(0);
    for (const { onsets, plan, own } of steps) {
      expect(own).toBeUndefined();
      expect(plan).toEqual(onsets.map(({ number }) => whole.plan[number - 1]));
    }
  });

  it('of a switchback keeps it where that costs no slide, out and back', () => {
    const { whole, steps } = plansOf(line('B4 D#5 B4 A4', { instrument: 'clarinet' }), 'switchback');
    for (const { onsets, plan, own } of steps) {
      expect(own).toBeUndefined();
      expect(plan).toEqual(onsets.map(({ number }) => whole.plan[number - 1]));
    }
  });

  it('has its own fingerings where the order of the step alone would make it slide', () => {
    // Only the two notes between which the passage has to slide, in another order than they are written.
    const span: Span = { passage: SLIDES, first: 2, last: 4 };
    const { whole, steps } = plansOf(SLIDES, 'switchback', { variants: ['from-last'] }, span);
    const slid = whole.slides.map(({ note }) => note);
    expect(slid).toHaveLength(1);
    const own = steps.filter((step) => step.own === 'order');
    expect(own.length).toBeGreaterThan(0);
    for (const { slides } of own) expect(slides).toEqual([]);
  });

  it('has its own where the notes are not the passage’s', () => {
    const { steps } = plansOf(line('B4 D#5 C5 B4', { instrument: 'clarinet' }), 'switchback', {
      variants: ['chromatic-inversion'],
    });
    expect(steps.at(-1)!.own).toBe('notes');
    expect(steps.at(-1)!.plan).not.toContain(undefined);
  });
});
