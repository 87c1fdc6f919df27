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

  it('counts run-throughs, not steps, and says once that nothing stands out', async () => {
    const { out } = await fettle('survey slipway --bars 1-2 --from model:exact --fast --takes 2');
    expect(out).toContain('done: 2 run-throughs, 2 clean');
    expect(out).not.toContain('passed');
    expect(out.match(/Nothing stands out/g)).toHaveLength(1);
  });

  it('has the controls and the own sound of work', async () => {
    const quick = 'survey slipway --bars 1 --from model:exact --fast --takes 2';
    expect((await fettle(`${quick} --control C2=skip --pedal again`)).status).toBe(0);
    expect((await fettle(`${quick} --pedal skipp`)).err).toMatch(/Cannot use "skipp"/);
    expect((await fettle(`${quick} --monitor`)).err).toMatch(/Cannot sound your own notes/);
  });

  it('ranks what the fingers will find hard before the first note, and names the keywork in what it prescribes', async () => {
    const words = 'survey slipway --bars 1-2 --from model:pupil,seed=7,snag=10 --fast --takes 2';
    const { out } = await fettle(`${words} --keywork left-e-flat`);
    expect(out).toMatch(/^Hardest for the fingers: 1\. A#4 to B4, .*; 2\. A4 to B4, /);
    const prescribed = out.split('\n').filter((line) => line.includes('fettle work'));
    expect(prescribed.length).toBeGreaterThan(0);
    for (const line of prescribed) expect(line).toContain('--keywork left-e-flat');
    expect((await fettle('survey mudlarks --bars 1 --from model:exact --fast --takes 2')).out).not.toContain(
      'fingers',
    );
  });
});
