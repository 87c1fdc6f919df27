import { describe, expect, it } from 'vitest';
import { planDrills } from '../../src/drills/drill-run.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { line } from './line.ts';
import { problem, value } from './made.ts';

const span = wholeSpan(line('C4 D4 E4 F4 G4*2 A4*2'));
const settings = { tempo: span.passage.tempo, snags: [2] };

describe('drills in a row', () => {
  it('come in the order asked for, each with its own steps and gate', () => {
    const runs = value(planDrills(['landings', 'switchback', 'widening'], span, settings));
    expect(runs.map((run) => [run.drill.name, run.steps.length, run.passes])).toEqual([
      ['landings', 3, 3],
      ['switchback', 5, 3],
      ['widening', 4, 3],
    ]);
  });

  it('may name a drill twice', () => {
    expect(value(planDrills(['through', 'through'], span, settings))).toHaveLength(2);
  });

  it('take a gate and a placement of the click', () => {
    const [run] = value(planDrills(['through'], span, { ...settings, passes: 5, click: 'bar' }));
    expect(run!.passes).toBe(5);
    expect(run!.steps[0]!.run.clicks.filter((click) => click.tick >= 0).map((click) => click.accent)).toEqual(
      ['bar', 'bar'],
    );
  });

  it('are all there or none: the first that refuses is the answer', () => {
    expect(problem(planDrills(['landings', 'widening'], span, { tempo: span.passage.tempo })).message).toBe(
      'Cannot make widening: no snag is named',
    );
    expect(problem(planDrills(['landings', 'rhythms'], span, settings)).code).toBe('drill.rhythms-uneven');
    expect(problem(planDrills(['landings', 'windening'], span, settings)).hint).toBe(
      'Did you mean widening?',
    );
    expect(problem(planDrills([], span, settings)).code).toBe('drill.none');
    for (const passes of [0, 1.5, 21]) {
      expect(problem(planDrills(['through'], span, { ...settings, passes })).code).toBe('drill.passes-range');
    }
  });
});
