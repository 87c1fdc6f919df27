import { describe, expect, it } from 'vitest';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { planTake } from '../../src/take/plan-take.ts';
import { takeResults } from '../../src/take/result.ts';
import { takeEvent } from '../../src/take/take.ts';
import { tickMicros } from '../../src/take/take-times.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { planFor } from '../session/simulate.ts';

describe('a take', () => {
  it('says nothing of how notes are joined while the sustain pedal is down', async () => {
    const { steps } = await planFor('slipway', { drill: 'through' });
    const step = steps[0]!.step;
    const planned = planTake(
      step,
      { kind: 'lead-in', fromMicros: 1_000_000 },
      { attempt: 1, tolerance: TOLERANCES.steady, players: [{ lagMicros: 0, shiftSemitones: 0 }] },
    );
    const joints = (pedal: readonly number[]) => {
      let take = planned;
      for (const [i, { tick, durationTicks, notes }] of step.lines[0]!.onsets.entries()) {
        const at = tickMicros(take, tick);
        const off = Math.round((at + tickMicros(take, tick + durationTicks)) / 2);
        const pitch = notes[0]!.pitch;
        const common = { channel: 1, pitch };
        take = takeEvent(take, 0, { type: 'note-on', at, velocity: 80, ...common });
        const value = pedal[i];
        const controller = { type: 'controller', at: at + 1, channel: 1, number: 64 } as const;
        if (value !== undefined) take = takeEvent(take, 0, { ...controller, value } satisfies PlayerEvent);
        take = takeEvent(take, 0, { type: 'note-off', at: off, ...common });
      }
      return takeResults(take)[0]!
        .verdict.joints.map(({ from }) => from)
        .slice(0, 3);
    };
    expect(joints([])).toEqual([0, 1, 2]);
    expect(joints([0, 127, 0])).toEqual([0, 2, 3]);
    expect(joints([100])).toEqual([]);
  });
});
