// What the survey hands on must name the music that was surveyed.

import { describe, expect, it } from 'vitest';
import { fettle } from './run.ts';

describe('fettle survey', () => {
  it('names the same part of the music in the drills that it prescribes', async () => {
    const { out } = await fettle('survey crosstide --hand left --from model:steady --fast --takes 2');
    const lines = out.split('\n').filter((line) => line.includes('fettle work'));
    expect(lines.length).toBeGreaterThan(0);
    for (const line of lines) expect(line).toContain('crosstide --hand left --onsets');
  });
});
