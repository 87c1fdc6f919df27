import { describe, expect, it } from 'vitest';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import {
  type RecordedNote,
  RecordedSource,
  type RecordingZero,
} from '../../src/simulation/recorded-source.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';
import { eighthStep } from './steps-for-models.ts';

const TAKE: readonly RecordedNote[] = [
  { pitch: 60, onMicros: 100_000, offMicros: 300_000, velocity: 80, channel: 0 },
  { pitch: 60, onMicros: 300_000, offMicros: 500_000, velocity: 70, channel: 0 },
  { pitch: 64, onMicros: 300_000, offMicros: 450_000, velocity: 60, channel: 1 },
];

function replay(zero: RecordingZero, notes = TAKE) {
  const clock = new SimulatedClock({ startMicros: 50 });
  const source = new RecordedSource(clock, notes, { zero });
  const events: PlayerEvent[] = [];
  source.start((event) => {
    expect(event.at).toBe(clock.nowMicros());
    events.push(event);
  });
  for (const attempt of [1, 2]) source.prompt({ ...eighthStep([60, 64]), zeroMicros: 1_000_000, attempt });
  clock.runUntilIdle(10_000_000);
  return events;
}

describe('a recorded take as a source', () => {
  it('plays once, a release before a strike of the same instant, and says that it has ended', () => {
    expect(replay('prompt')).toEqual([
      { type: 'note-on', at: 1_100_000, pitch: 60, velocity: 80, channel: 0 },
      { type: 'note-off', at: 1_300_000, pitch: 60, channel: 0 },
      { type: 'note-on', at: 1_300_000, pitch: 60, velocity: 70, channel: 0 },
      { type: 'note-on', at: 1_300_000, pitch: 64, velocity: 60, channel: 1 },
      { type: 'note-off', at: 1_450_000, pitch: 64, channel: 1 },
      { type: 'note-off', at: 1_500_000, pitch: 60, channel: 0 },
      { type: 'ended', at: 1_500_000 },
    ]);
  });

  it('can begin at once, or with its first note on the first onset', () => {
    expect(replay('start')[0]!.at).toBe(100_050);
    expect(replay('entry')[0]!.at).toBe(1_000_000);
  });

  it('lets go a note before it is struck again, though its release comes later or never makes sense', () => {
    const notes = [
      { ...TAKE[0]!, offMicros: 400_000 },
      { ...TAKE[1]!, offMicros: 200_000 },
    ];
    const types = replay('prompt', notes).map((e) => [e.type, e.at - 1_000_000]);
    expect(types).toEqual([
      ['note-on', 100_000],
      ['note-off', 300_000],
      ['note-on', 300_000],
      ['note-off', 300_001],
      ['ended', 400_000],
    ]);
  });

  it('ends at once when nothing was recorded', () => {
    expect(replay('prompt', [])).toEqual([{ type: 'ended', at: 1_000_000 }]);
    expect(replay('entry', [])).toEqual([{ type: 'ended', at: 1_000_000 }]);
  });

  it('lets go of what sounds when closed', async () => {
    const clock = new SimulatedClock();
    const source = new RecordedSource(clock, TAKE, { zero: 'start' });
    const events: PlayerEvent[] = [];
    source.start((event) => events.push(event));
    clock.advanceTo(200_000);
    await source.close();
    clock.advanceTo(1_000_000);
    expect(events.map((e) => [e.type, e.at])).toEqual([
      ['note-on', 100_000],
      ['note-off', 200_000],
    ]);
  });
});
