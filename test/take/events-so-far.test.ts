import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { type EventsSoFar, latest, withLate, withLatest } from '../../src/take/events-so-far.ts';

/** Told apart by their pitches. */
function events(...times: number[]): PlayerEvent[] {
  return times.map((at, pitch) => ({ type: 'note-on', at, pitch, velocity: 80, channel: 1 }));
}

function told(all: readonly PlayerEvent[]): EventsSoFar {
  return all.reduce<EventsSoFar>(
    (soFar, event) =>
      event.at >= (latest(soFar)?.at ?? event.at) ? withLatest(soFar, event) : withLate(soFar, event),
    [],
  );
}

describe('the events of a take', () => {
  it('are by time, those of one time as they were told, whatever comes late', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 20 }), { maxLength: 60 }), (times) => {
        const all = events(...times);
        expect(told(all).flat()).toEqual(all.toSorted((a, b) => a.at - b.at));
      }),
    );
  });

  it('are seldom copied: each batch is longer than the next, so that a thousand are in ten at most', () => {
    let soFar: EventsSoFar = [];
    for (const event of events(...Array.from({ length: 1000 }, (_, i) => i))) {
      soFar = withLatest(soFar, event);
      const lengths = soFar.map(({ length }) => length);
      for (const [i, length] of lengths.slice(1).entries()) expect(length).toBeLessThan(lengths[i]!);
      expect(lengths.length).toBeLessThanOrEqual(10);
    }
  });

  it('leave those told before as they were', () => {
    const before = told(events(1, 2, 3));
    const copy = structuredClone(before);
    withLatest(before, events(4)[0]!);
    withLate(before, events(2)[0]!);
    expect(before).toEqual(copy);
  });
});
