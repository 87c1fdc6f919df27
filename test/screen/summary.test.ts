import { describe, expect, it } from 'vitest';
import { draw } from '../../src/screen/draw.ts';
import { stepsShown } from '../../src/screen/summary.ts';
import type { Session, StepTally } from '../../src/session/session.ts';
import { playScript, readScript, tuneLines } from '../sessions/script.ts';
import { plainText } from './emulator.ts';

const MANY = `${tuneLines('CDEF | GABc | CDEF | GABc | CDEF | GABc | CDEF | GABc | c4 |]', { title: 'Many steps' })}
set drill landings
1 press quit`;

const passed = (misses: number): StepTally => ({ takes: 3 + misses, cleanTakes: 3, state: 'passed' });
const open = (takes: number): StepTally => ({ takes, cleanTakes: 0, state: 'open' });

async function summary(tallies: (count: number) => StepTally[], columns: number, rows: number) {
  const { session } = playScript(await readScript(MANY));
  const done: Session = { ...session, stage: { kind: 'finished' }, tallies: tallies(session.steps.length) };
  return plainText(draw(done, { columns, rows }, { unicode: false, source: 'script' }));
}

const fill = (count: number, special: Record<number, StepTally>) =>
  Array.from({ length: count }, (_, i) => special[i] ?? passed(0));

describe('the summary of a session', () => {
  it.each([
    [80, 24],
    [60, 16],
    [40, 10],
  ])(
    'in %i columns and %i rows counts every step, shown or not, and leaves the last row alone',
    async (columns, rows) => {
      const lines = await summary((count) => fill(count, { 20: passed(5), 30: open(7) }), columns, rows);
      expect(lines.at(-1)!.trim()).toBe('any key leaves');
      const shown = lines.filter((line) => /^ [+>-] (passed|skipped|open)/.test(line)).length;
      const { session } = playScript(await readScript(MANY));
      const text = lines.join('\n');
      expect(session.steps.length).toBeGreaterThan(24);
      expect(text).toContain(`and ${session.steps.length - shown} steps more`);
      // The open step and the one that cost five takes are among those that are shown.
      expect(text).toContain('0 clean of 7');
      expect(text).toContain('3 clean of 8');
      expect(text).toContain('steps more: all passed');
      for (const line of lines) expect(line.length).toBe(columns);
    },
  );

  it('shows all steps where they fit, with nothing about more', async () => {
    const lines = await summary((count) => fill(count, {}), 80, 60);
    expect(lines.filter((line) => line.includes('3 clean of 3')).length).toBe(32);
    expect(lines.join('\n')).not.toContain('more');
  });

  it('tells of a session that was taken up what was passed before it, and what was not played', async () => {
    const none = { takes: 0, cleanTakes: 0 };
    const special: Record<number, StepTally> = {
      0: { ...none, state: 'passed' },
      1: { ...none, state: 'skipped' },
      2: { ...none, state: 'open' },
    };
    const lines = await summary((count) => fill(count, special), 80, 60);
    const told = (state: string) =>
      lines
        .find((line) => line.includes(state))!
        .slice(50)
        .trim();
    expect(told('+ passed')).toBe('in an earlier sitting');
    expect(told('> skipped')).toBe('not played');
    expect(told('- open')).toBe('not played');
    expect(lines.join('\n')).not.toContain('0 clean of 0');
  });
});

describe('the steps that are shown where not all fit', () => {
  it('are those left open, then those that cost most takes, in their own order', () => {
    const tallies = [passed(0), passed(4), open(1), passed(1), passed(0), open(0)];
    expect(stepsShown(tallies, 4)).toEqual({
      shown: [1, 2, 5],
      left: [tallies[3], tallies[0], tallies[4]],
    });
    expect(stepsShown(tallies, 6).shown).toEqual([0, 1, 2, 3, 4, 5]);
    expect(stepsShown(tallies, 0).shown).toEqual([]);
  });
});
