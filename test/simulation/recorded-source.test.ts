import { describe, expect, it } from 'vitest';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import {
  type RecordedNote,
  RecordedSource,
  type RecordingZero,
} from '../../src/simulation/recorded-source.ts';
import { Recordings } from '../../src/simulation/recordings.ts';
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

describe('recorded takes of one section', () => {
  const recording = (startMicros: number): RecordedNote[] =>
    [60, 64].map((pitch, i) => ({
      pitch,
      onMicros: startMicros + i * 250_000,
      offMicros: startMicros + i * 250_000 + 200_000,
      velocity: 80,
      channel: 1,
    }));

  /** When the first note of each comes, after tick 0 of the first step; `rests`: whose first step has no notes. */
  function firstNotes(starts: readonly number[], rests: readonly number[] = []): (number | undefined)[] {
    const clock = new SimulatedClock();
    const recordings = new Recordings();
    const firsts: (number | undefined)[] = starts.map(() => undefined);
    const sources = starts.map((start, i) => {
      const source = new RecordedSource(clock, recording(start), { zero: 'entry', recordings });
      source.start((event) => {
        if (event.type === 'note-on') firsts[i] ??= event.at - 1_000_000;
      });
      return source;
    });
    const step = eighthStep([60, 64]);
    for (const attempt of [1, 2])
      for (const [i, source] of sources.entries()) {
        const line = attempt === 1 && rests.includes(i) ? { ...step.line, onsets: [] } : step.line;
        source.prompt({ ...step, line, zeroMicros: attempt * 1_000_000, attempt });
      }
    clock.runUntilIdle(20_000_000);
    return firsts;
  }

  it('keep their places to each other where they were recorded together', () => {
    // 0, 20, 40 and 30 ms early after half a second: the middle of them, 10 ms, is on the beat.
    expect(firstNotes([500_000, 520_000, 540_000, 470_000])).toEqual([-10_000, 10_000, 30_000, -40_000]);
  });

  it('begin each on its first onset where they were not', () => {
    expect(firstNotes([500_000, 3_520_000])).toEqual([0, 0]);
  });

  it('begin with the first step that has notes for them', () => {
    expect(firstNotes([500_000, 3_520_000], [1])).toEqual([0, 1_000_000]);
    expect(firstNotes([500_000, 520_000, 560_000], [2])).toEqual([-10_000, 10_000, 50_000]);
  });
});
