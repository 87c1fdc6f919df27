import { readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { DRILL_NAMES, DRILLS, findDrill } from '../../src/drills/catalogue.ts';
import { drillList, explain } from '../../src/drills/drill-book.ts';
import { problem, value } from './made.ts';

describe('the drill book', () => {
  it('has every drill once, each in a file of its name', () => {
    expect([...DRILL_NAMES].sort()).toEqual([
      'chain',
      'landings',
      'rhythms',
      'switchback',
      'tenuto',
      'through',
      'widening',
    ]);
    const files = readdirSync(new URL('../../src/drills/', import.meta.url));
    for (const name of DRILL_NAMES) expect(files).toContain(`${name}.ts`);
  });

  it('explains each drill in two sentences', () => {
    for (const drill of DRILLS) expect(drill.explanation.match(/[.](?= |$)/g)).toHaveLength(2);
  });

  it('finds a drill in any case of letters', () => {
    expect(value(findDrill(' Landings ')).name).toBe('landings');
  });

  it('suggests near words for an unknown drill', () => {
    expect(problem(findDrill('landigns')).hint).toBe('Did you mean landings?');
    expect(problem(findDrill('switch')).hint).toBe('Did you mean switchback?');
    expect(problem(findDrill('rythms')).hint).toBe('Did you mean rhythms?');
    const far = problem(findDrill('octopus'));
    expect(far.message).toBe(
      'Cannot find drill "octopus": the drills are landings, switchback, widening, tenuto, rhythms, chain, through',
    );
    expect(far.hint).not.toContain('Did you mean');
    expect(far.exitStatus).toBe(2);
    expect(problem(findDrill('')).code).toBe('drill.unknown');
  });

  it('says that the ladder is a way to run a drill', () => {
    expect(problem(findDrill('ladder')).message).toContain('a way to run any of them');
  });

  it('prints a drill with its variants, and the list with a line each', () => {
    const text = explain(value(findDrill('widening')));
    expect(text.split('\n')).toEqual([
      'widening',
      '',
      value(findDrill('widening')).explanation,
      '',
      'Variants:',
      '  by-beat     grows by a beat on each side instead of a note',
      '  leading-in  grows only before the snag: more and more of what leads into it',
      '  going-on    grows only after the snag: more and more of what follows it',
    ]);
    // The plain word first, then the trade's.
    expect(explain(value(findDrill('switchback')))).toMatch(/\n {2}backwards, retrograde +the whole pattern/);
    expect(explain(value(findDrill('through')))).not.toContain('Variants');
    expect(drillList().split('\n')).toHaveLength(DRILLS.length);
    expect(drillList().split('\n').at(-1)).toBe(
      'through     The span with the bar before it and the bar after it, without a stop.',
    );
  });
});
