import { describe, expect, it } from 'vitest';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { PlayerModel } from '../../src/simulation/player-model.ts';
import { PROFILES, type Profile } from '../../src/simulation/profile.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';
import { eighthStep } from './steps-for-models.ts';

function play(
  profile: Profile,
  step: ReturnType<typeof eighthStep>,
  drive: (model: PlayerModel, clock: SimulatedClock) => void,
) {
  const clock = new SimulatedClock();
  const model = new PlayerModel(clock, { profile, seed: 7, snags: [] });
  const events: PlayerEvent[] = [];
  model.start((event) => {
    expect(event.at).toBe(clock.nowMicros());
    events.push(event);
  });
  model.prompt({ ...step, zeroMicros: 2_000_000, attempt: 1 });
  drive(model, clock);
  return events;
}

describe('the player model as a source', () => {
  const step = eighthStep([60, 62, 64, 65, 67]);

  it('strikes and lets go each note at its time, stamped with it', () => {
    const events = play(PROFILES.exact, step, (_, clock) => clock.runUntilIdle(60_000_000));
    const struck = events.filter((e) => e.type === 'note-on');
    expect(struck.map((e) => [e.pitch, e.at])).toEqual([
      [60, 2_000_000],
      [62, 2_250_000],
      [64, 2_500_000],
      [65, 2_750_000],
      [67, 3_000_000],
    ]);
    const released = events.filter((e) => e.type === 'note-off');
    expect(released.map((e) => e.pitch)).toEqual([60, 62, 64, 65, 67]);
    // The landing is held: two beats of half a second, half a beat less.
    expect(released.at(-1)!.at).toBe(3_750_000);
  });

  it('stops striking when hushed, at once or at a time, and leaves nothing sounding', () => {
    for (const hushAt of [2_300_000, 2_600_000]) {
      const events = play(PROFILES.exact, step, (model, clock) => {
        clock.advanceTo(2_300_000);
        model.hush(hushAt);
        clock.runUntilIdle(60_000_000);
      });
      const struck = events.filter((e) => e.type === 'note-on');
      expect(struck.every((e) => e.at <= hushAt)).toBe(true);
      expect(struck).toHaveLength(hushAt === 2_300_000 ? 2 : 3);
      expect(events.filter((e) => e.type === 'note-off')).toHaveLength(struck.length);
    }
  });

  it('drops what it had planned when it is told something new', () => {
    const events = play(PROFILES.exact, step, (model, clock) => {
      clock.advanceTo(2_300_000);
      model.prompt({ ...eighthStep([72, 74]), zeroMicros: 4_000_000, attempt: 1 });
      clock.runUntilIdle(60_000_000);
    });
    expect(events.filter((e) => e.type === 'note-on').map((e) => e.pitch)).toEqual([60, 62, 72, 74]);
  });

  it('lets go of a held landing before it strikes it again', () => {
    const events = play(PROFILES.exact, step, (model, clock) => {
      clock.advanceTo(3_100_000);
      model.prompt({ ...eighthStep([67, 69]), zeroMicros: 3_500_000, attempt: 1 });
      clock.runUntilIdle(60_000_000);
    });
    const landing = events.filter((e) => 'pitch' in e && e.pitch === 67).map((e) => [e.type, e.at]);
    expect(landing).toEqual([
      ['note-on', 3_000_000],
      ['note-off', 3_500_000],
      ['note-on', 3_500_000],
      ['note-off', 3_750_000],
    ]);
  });

  it('lets go of everything when closed, and is silent then', async () => {
    let closing: Promise<void> | undefined;
    const events = play(PROFILES.exact, step, (model, clock) => {
      clock.advanceTo(2_300_000);
      closing = model.close();
      clock.runUntilIdle(60_000_000);
    });
    await closing;
    expect(events.map((e) => [e.type, 'pitch' in e && e.pitch])).toEqual([
      ['note-on', 60],
      ['note-on', 62],
      ['note-off', 60],
      ['note-off', 62],
    ]);
    expect(events.at(-1)!.at).toBe(2_300_000);
  });

  it('plays the same session again for the same seed, take after take different', () => {
    const session = () =>
      play(PROFILES.beginner, step, (model, clock) => {
        clock.runUntilIdle(10_000_000);
        for (const attempt of [2, 3]) {
          model.prompt({ ...step, zeroMicros: clock.nowMicros() + 2_000_000, attempt });
          clock.runUntilIdle(clock.nowMicros() + 20_000_000);
        }
      });
    const events = session();
    expect(session()).toEqual(events);
    const rounds = [2_000_000, 7_000_000].map((from) =>
      events.filter((e) => e.type === 'note-on' && e.at > from - 500_000).slice(0, 3),
    );
    expect(rounds[0]).not.toEqual(rounds[1]);
  });

  it('learns: a step too hard for a pupil at first goes well after enough tries', () => {
    const pitches = [60, 67, 62, 74, 60, 65, 59, 72];
    let early = 0;
    let late = 0;
    for (let seed = 1; seed <= 10; seed++) {
      const clock = new SimulatedClock();
      const snags = [{ onset: 3, word: 'wrong' as const }];
      const model = new PlayerModel(clock, { profile: PROFILES.pupil, seed, snags });
      const played: number[] = [];
      model.start((event) => event.type === 'note-on' && played.push(event.pitch));
      for (let attempt = 1; attempt <= 30; attempt++) {
        played.length = 0;
        model.prompt({
          ...eighthStep(pitches, 120_000),
          zeroMicros: clock.nowMicros() + 1_000_000,
          attempt,
        });
        clock.runUntilIdle(clock.nowMicros() + 30_000_000);
        const right = played.join() === pitches.join();
        if (right && attempt <= 3) early++;
        if (right && attempt > 20) late++;
      }
    }
    expect(early).toBeLessThan(15);
    expect(late).toBeGreaterThan(95);
  });

  it('waits until it is ready where there is no click', () => {
    const free = { ...step, run: { ...step.run, pulse: 'free' as const, landing: false } };
    const events = play(PROFILES.steady, free, (_, clock) => clock.runUntilIdle(60_000_000));
    expect(events[0]!.at).toBeGreaterThan(2_200_000);
  });
});
