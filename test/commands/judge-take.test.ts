import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();

describe('fettle judge of a span', () => {
  it('judges its part of a take of the whole passage and counts the notes outside', async () => {
    const take = join(folder, 'whole.mid');
    await fettle(`convert slipway ${take}`);
    const whole = await fettle(`judge slipway ${take}`);
    expect(whole.out).toMatch(/^\+ Clean/);
    expect(whole.out).not.toContain('left out');
    const { out } = await fettle(`judge slipway ${take} --bars 2`);
    expect(out).toMatch(/^\+ Clean/);
    expect(out).toMatch(/6 of 6 notes right/);
    // The passage has 46 notes, 6 of them in bar 2 (onsets 7 to 12).
    expect(whole.out).toContain('46 of 46 notes right');
    expect(out).toContain('40 notes outside onsets 7 to 12 left out');
    const json = JSON.parse((await fettle(`judge slipway ${take} --bars 2 --json`)).out);
    expect(json.clean).toBe(true);
    expect(json.notes).toHaveLength(6);
    expect(json.extra).toEqual([]);
    expect(json.notesOutside).toBe(40);
  });
});
