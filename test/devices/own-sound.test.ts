import { describe, expect, it } from 'vitest';
import { namingSource } from '../../src/devices/naming-source.ts';
import { monitored, sounded } from '../../src/devices/own-sound.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import type { PlayerSource } from '../../src/ports/player-source.ts';
import { RecordedClick } from '../../src/simulation/recorded-click.ts';
import { fettle } from '../commands/run.ts';

const EVENTS: PlayerEvent[] = [
  { type: 'note-on', at: 1000, pitch: 60, velocity: 70, channel: 1 },
  { type: 'controller', at: 1500, number: 2, value: 90, channel: 1 },
  { type: 'note-off', at: 2000, pitch: 60, channel: 1 },
  { type: 'lost', at: 3000, reason: 'unplugged' },
];

describe("the player's own notes as sound", () => {
  it('are sounded before the session is told, and the session is told the same', () => {
    const order: string[] = [];
    const told: PlayerEvent[] = [];
    const source = sounded(flute(EVENTS), { soundOwn: ({ type }) => void order.push(`sound ${type}`) });
    source.start((event) => {
      told.push(event);
      order.push(`tell ${event.type}`);
    });
    expect(told).toEqual(EVENTS);
    expect(order).toEqual(EVENTS.flatMap(({ type }) => [`sound ${type}`, `tell ${type}`]));
    expect(source.name).toBe('flute of the Tidewrack Wind Band');
  });

  it('leave what else the source has to tell as it is', () => {
    let news = '';
    const shifted = {
      ...flute([]),
      shiftSemitones: -12,
      onNews: (tell: (words: string) => void) => tell('Twice.'),
    };
    const source = namingSource(sounded(shifted, { soundOwn: () => {} }), 60);
    source.onNews?.((words) => {
      news = words;
    });
    expect([source.shiftSemitones, news]).toEqual([-12, 'Twice.']);
  });

  it('need an outlet that can be heard', async () => {
    expect(monitored(flute([]), new RecordedClick())).toMatchObject({ problem: { code: 'option.monitor' } });
    const ran = await fettle('work slipway --from model --plain --monitor --click-to off');
    expect(ran.err).toMatch(/Cannot sound your own notes.*\n.*--click-to/);
    expect(ran.status).toBe(2);
  });
});

// Helpers

function flute(events: readonly PlayerEvent[]): PlayerSource {
  return {
    name: 'flute of the Tidewrack Wind Band',
    start: (report) => events.forEach(report),
    prompt: () => {},
    hush: () => {},
    close: async () => {},
  };
}
