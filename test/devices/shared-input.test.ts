// One input for several players.

import { expect, it } from 'vitest';
import { sharedInput } from '../../src/devices/shared-input.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import type { PlayerSource } from '../../src/ports/player-source.ts';

const on = (pitch: number, channel: number, at = 0): PlayerEvent => ({
  type: 'note-on',
  at,
  pitch,
  velocity: 80,
  channel,
});
const off = (pitch: number, channel: number, at = 0): PlayerEvent => ({
  type: 'note-off',
  at,
  pitch,
  channel,
});

it('each hears their own keys, and all that the input is lost and found', () => {
  const { send, heard } = shared([
    { keys: { lowest: 36, highest: 59 } },
    { keys: { lowest: 60, highest: 96 } },
  ]);
  send(on(40, 1), on(72, 1), off(40, 1), { type: 'lost', at: 5, reason: 'unplugged' });
  expect(heard[0]!.map(({ type }) => type)).toEqual(['note-on', 'note-off', 'lost']);
  expect(heard[1]!.map(({ type }) => type)).toEqual(['note-on', 'lost']);
});

it('a keyboard that sends on two channels is heard once, with its releases, and told once', () => {
  const { send, heard, told } = shared([{}]);
  send(on(60, 1, 0), on(60, 2, 900), on(64, 1, 100_000), on(64, 2, 100_700));
  send(off(60, 1, 200_000), off(60, 2, 200_900), off(64, 2, 201_000), off(64, 1, 201_500));
  expect(heard[0]).toEqual([on(60, 1, 0), on(64, 1, 100_000), off(60, 1, 200_000), off(64, 1, 201_500)]);
  expect(told).toEqual(['Keys sends every note on channel 1 and on channel 2: it is heard once.']);
});

it('the same key struck again is a note of its own, on the same channel and later on another', () => {
  const { send, heard } = shared([{}]);
  send(
    on(60, 1, 0),
    off(60, 1, 3_000),
    on(60, 1, 4_000),
    off(60, 1, 5_000),
    on(60, 2, 60_000),
    off(60, 2, 61_000),
  );
  expect(heard[0]).toHaveLength(6);
});

it('a shift is each player’s own, and takes what leaves the MIDI notes away', () => {
  const { send, heard, sources } = shared([{ channel: 1, shiftSemitones: -12 }, { channel: 2 }]);
  send(on(60, 1), on(60, 2), on(5, 1));
  expect(heard.map((events) => events.map((event) => 'pitch' in event && event.pitch))).toEqual([[48], [60]]);
  expect(sources.map(({ shiftSemitones }) => shiftSemitones)).toEqual([-12, undefined]);
});

it('is opened once and closed with the last of its players', async () => {
  const { sources, state } = shared([{ channel: 1 }, { channel: 2 }]);
  expect(state.started).toBe(1);
  await sources[0]!.close();
  expect(state.closed).toBe(0);
  await sources[1]!.close();
  expect(state.closed).toBe(1);
});

// Helpers

function shared(seats: Parameters<typeof sharedInput>[1]) {
  const state = { started: 0, closed: 0 };
  let report: (event: PlayerEvent) => void = () => {};
  const source: PlayerSource = {
    name: 'Keys',
    start(given) {
      state.started += 1;
      report = given;
    },
    prompt() {},
    hush() {},
    async close() {
      state.closed += 1;
    },
  };
  const sources = sharedInput(source, seats);
  const heard: PlayerEvent[][] = seats.map(() => []);
  const told: string[] = [];
  for (const [i, one] of sources.entries()) {
    one.start((event) => heard[i]!.push(event));
    one.onNews?.((sentence) => told.push(sentence));
  }
  return {
    sources,
    heard,
    told,
    state,
    send: (...events: PlayerEvent[]) => {
      for (const event of events) report(event);
    },
  };
}
