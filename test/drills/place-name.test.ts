import { describe, expect, it } from 'vitest';
import { beatGrid } from '../../src/drills/beat-grid.ts';
import { beatsName } from '../../src/drills/place-name.ts';
import { readAbc } from '../../src/notation/abc/reader.ts';

const QUARTER = 10_080;

describe('the beats of a run', () => {
  it('are not taken for those of one bar where a repeat leads back into it', async () => {
    const { passage } = await readAbc('X:1\nM:2/4\nL:1/4\nQ:1/4=60\nK:C\n|: C D :| E F |\n', 'repeated');
    const grid = beatGrid(passage!);
    expect(beatsName(grid, 0, QUARTER)).toBe('bar 1, beats 1 to 2');
    // The second quarter of bar 1 to the first of bar 1 the second time, and on.
    expect(beatsName(grid, QUARTER, 2 * QUARTER)).toBe('bar 1 beat 2 to bar 1 again, beat 1');
    expect(beatsName(grid, 0, 3 * QUARTER)).toBe('bar 1 beat 1 to bar 1 again, beat 2');
    expect(beatsName(grid, 3 * QUARTER, 4 * QUARTER)).toBe('bar 1 beat 2 to bar 2 beat 1');
  });
});
