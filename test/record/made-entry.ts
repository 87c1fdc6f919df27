// An entry as a session would keep it.

import type { Entry } from '../../src/record/entry.ts';

export function madeEntry(order: number, more: Partial<Entry> = {}): Entry {
  return {
    format: 1,
    sitting: 'monday',
    order,
    date: '2026-11-23T18:00:00.000Z',
    passage: 'harbour-reel',
    first: 1,
    last: 8,
    drill: 'landings',
    step: 0,
    stepName: 'beats 1 to 2',
    tempoBpm: 72,
    toleranceName: 'steady',
    player: 'Ilse',
    source: 'Tidewrack keys',
    end: 'stopped',
    clean: true,
    sentence: 'Clean.',
    zeroMicros: 8_000_000,
    events: [
      { type: 'note-on', at: 8_001_000, pitch: 60, velocity: 70, channel: 1 },
      { type: 'note-off', at: 8_400_000, pitch: 60, channel: 1 },
    ],
    ...more,
  };
}
