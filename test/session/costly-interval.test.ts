import { describe, expect, it } from 'vitest';
import { chargeInterval, costliestInterval, type IntervalCost } from '../../src/session/costly-interval.ts';
import type { Trouble } from '../../src/take/verdict.ts';
import { costliestWords } from '../../src/wording/costliest.ts';
import { FIVE_NOTES, playScript, readScript } from '../sessions/script.ts';

const SCALE = `${FIVE_NOTES}
set tempo 60
set drill through
set passes 3`;

const rushed = (to: number): Trouble => ({
  kind: 'rushed',
  interval: {
    from: to - 1,
    to,
    expectedMicros: 1_000_000,
    playedMicros: 800_000,
    deviationMicros: -200_000,
    share: -0.2,
    allowedMicros: 130_000,
    clean: false,
  },
});

async function costs(...worst: (Trouble | undefined)[]): Promise<readonly IntervalCost[]> {
  const { step } = (await readScript(SCALE)).plan.steps[0]!;
  const [line] = step.lines;
  return worst.reduce((sum, trouble) => chargeInterval(sum, trouble, line!), [] as readonly IntervalCost[]);
}

function told(all: readonly IntervalCost[]): string | undefined {
  const cost = costliestInterval(all);
  return cost && costliestWords(cost);
}

describe('the interval that cost the takes most', () => {
  it('is the one in which most takes had their worst trouble, by its name and its onset', async () => {
    expect(told(await costs(rushed(2), rushed(3), rushed(2)))).toBe(
      'Most often: rushed D4 to E4, onset 2 (2 takes).',
    );
  });

  it('is charged with what went wrong on the way into a note, whatever it was', async () => {
    const mixed = await costs(
      { kind: 'wrong', onset: 3, note: 0, played: 3 },
      rushed(3),
      {
        kind: 'blip',
        before: 3,
        played: 3,
        playedPitch: 61,
        leftMicros: 0,
        onMicros: 230_000,
        lastedMicros: 20_000,
        rightMicros: 250_000,
      },
      rushed(3),
    );
    expect(told(mixed)).toBe('Most often: E4 to F4, onset 3 (4 takes: rushed 2, wrong 1, blip 1).');
  });

  it('is not told after one take, nor of clean takes and troubles that belong to no interval', async () => {
    expect(told(await costs(rushed(2)))).toBeUndefined();
    expect(told(await costs(undefined, undefined))).toBeUndefined();
    const wide: Trouble = { kind: 'tempo', share: 0.1 };
    expect(told(await costs(wide, wide, { kind: 'silent' }, { kind: 'silent' }))).toBeUndefined();
    const first: Trouble = { kind: 'missed', onset: 0, note: 0 };
    expect(told(await costs(first, first))).toBeUndefined();
  });

  it('is told at the end of a session, in which both takes rushed it', async () => {
    const take = (zero: number) =>
      [0, 1, 1.8, 2.8, 3.8].map((beat, i) => `${(zero + beat).toFixed(3)} on ${'CDEFG'[i]}4`);
    const { lines } = playScript(
      await readScript([SCALE, ...take(5.5), ...take(15.5), '24 press quit'].join('\n')),
    );
    expect(lines.join('\n')).toContain('0 of 2 takes clean. Most often: rushed D4 to E4, onset 2 (2 takes).');
  });
});
