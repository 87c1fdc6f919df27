// Playing in, sharing the pulse and hearing one's own notes, with the program as it is built, over the real driver.

import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ClockFollower, clockPulses } from '../../src/devices/midi-clock.ts';
import { type MidiSource, openMidiSource } from '../../src/devices/midi-source.ts';
import { monotonicMicros } from '../../src/devices/system-clock.ts';
import { openWorkerClick } from '../../src/devices/worker-click.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { TICKS_PER_QUARTER as Q } from '../../src/music/ticks.ts';
import { readPassageBytes } from '../../src/notation/read.ts';
import { figure, inputClients, playFile, quantile, sleep, startProgram, writeNotes } from './sequencer.ts';

const PORT = 'Midi Through';
const [START, STOP] = [0xfa, 0xfc];
/** General MIDI: high and low wood block. The verdict's sounds are other keys of the same channel. */
const CLICK_KEYS = [76, 77];

let ear: MidiSource;
let events: PlayerEvent[];
let realTime: { byte: number; at: number }[];

beforeEach(async () => {
  events = [];
  realTime = [];
  const opened = await openMidiSource(PORT, { onClock: (byte, at) => realTime.push({ byte, at }) });
  if (!opened.ok) throw new Error(opened.problem.message);
  ear = opened.value;
  ear.start((event) => events.push(event));
});
afterEach(() => ear.close());

describe('playing in over the real driver', () => {
  it('saves what was played', { retry: 2 }, async () => {
    const out = join(mkdtempSync(join(tmpdir(), 'fettle-alsa-')), 'tune.abc');
    const late = await playerLateMicros();
    // A breath of 1.5 s and a bar of four beats, then quarters, eighths and a triplet.
    const beats = [0, 1, 1.5, 2, 2 + 1 / 3, 2 + 2 / 3, 3];
    const file = writeNotes(
      beats.map((beat, i) => ({
        atMicros: Math.round(5_500_000 - late + beat * 1_000_000),
        durationMicros: 250_000,
        pitch: 60 + i,
      })),
    );
    const before = new Set(inputClients());
    const run = start(['capture', '--from', PORT, '--out', out, '--yes', '--click-to', 'off']);
    await run.says('a bar is counted');
    await playFile(file, inputClients().find((client) => !before.has(client))!);
    expect(await run.ended).toBe(0);
    const { passage } = await readPassageBytes(readFileSync(out), out);
    // When the file's player starts is not ours to say in this machine; from the first note on all is exact.
    const zeroTick = passage!.onsets[0]!.tick;
    expect(passage!.onsets.map(({ tick, notes }) => [tick - zeroTick, notes[0]!.pitch])).toEqual(
      beats.map((beat, i) => [Math.round(beat * Q), 60 + i]),
    );
    figure('played in', { said: /played at[^\n]*/.exec(run.output())?.[0] ?? '' });
  });
});

describe('our clock', () => {
  it('is sent while a step is played and stopped when the program is ended', { retry: 2 }, async () => {
    const run = start([...WORK, '--tempo', '90', '--clock', `send:${PORT}`, '--click-to', 'off']);
    await run.says('step 1 of');
    await sleep(5_000);
    const follower = new ClockFollower();
    for (const { byte, at } of realTime) follower.take(byte, at);
    figure('our clock followed, a minute', { tempo: follower.followed?.tempoBpm ?? 0 });
    expect(follower.followed!.tempoBpm).toBeCloseTo(90, 0);
    run.end();
    await run.ended;
    await sleep(200);
    expect(realTime.filter(({ byte }) => byte === START)).toHaveLength(1);
    expect(realTime.at(-1)!.byte).toBe(STOP);
  });
});

describe("the player's own notes", () => {
  it('sound where the click sounds, and none is left when the program is ended', { retry: 2 }, async () => {
    const run = start([...WORK, '--monitor', '--click-to', `midi:${PORT}`]);
    await run.says('clean 1 of');
    run.end();
    await run.ended;
    await sleep(300);
    const notes = events.flatMap((one) => (one.type === 'note-on' && one.channel === 1 ? [one.pitch] : []));
    expect(notes.length).toBeGreaterThan(1);
    const held = new Set<string>();
    for (const one of events) {
      if (one.type === 'note-on') held.add(`${one.channel} ${one.pitch}`);
      if (one.type === 'note-off') held.delete(`${one.channel} ${one.pitch}`);
    }
    expect([...held]).toEqual([]);
  });
});

describe("a section's own notes", () => {
  it('sound where the click sounds, those of every player', { retry: 2 }, async () => {
    const file = join(mkdtempSync(join(tmpdir(), 'fettle-alsa-')), 'two.json');
    const players = [
      { name: 'On', from: 'model:exact' },
      { name: 'Behind', from: 'model:exact,offset=60' },
    ];
    writeFileSync(file, JSON.stringify({ section: 'Two', players }));
    const words = 'slipway --bars 1 --drill through --tempo 60 --plain --run-on --monitor --quiet';
    const run = start(['section', file, ...words.split(' '), '--click-to', `midi:${PORT}`]);
    await run.says('of 2 clean');
    run.end();
    await run.ended;
    await sleep(300);
    const notes = events.flatMap((one) => (one.type === 'note-on' && one.channel === 1 ? [one] : []));
    const pairs = notes.slice(1).flatMap((note, i) => {
      const before = notes[i]!;
      return note.pitch === before.pitch && note.at - before.at < 100_000 ? [note.at - before.at] : [];
    });
    figure("a section's own notes, 60 ms apart, ms", { p50: quantile(pairs, 0.5) / 1000 });
    expect(pairs.length).toBeGreaterThan(3);
    expect(Math.abs(quantile(pairs, 0.5) - 60_000)).toBeLessThan(15_000);
  });
});

describe("another machine's clock", () => {
  it('is followed by the click, beat for beat', { retry: 2 }, async () => {
    const run = start([...WORK, '--clock', `follow:${PORT}`, '--click-to', `midi:${PORT}`]);
    await run.says('Waiting for the start');
    await sleep(1_000);
    const machine = await openWorkerClick({ midi: PORT });
    if (!machine.ok) throw new Error(machine.problem.message);
    const zeroMicros = monotonicMicros() + 1_000_000;
    const quarterMicros = 60_000_000 / 105;
    machine.value.scheduleClock(clockPulses({ zeroMicros, quarterMicros, quarters: 24 }));
    await sleep(15_000);
    await run.says('paused: the clock of the other machine has stopped');
    run.end();
    await run.ended;
    await machine.value.close();
    const tempi = [...run.output().matchAll(/step \d of .*, ([\d.]+) a minute/g)].map((found) =>
      Number(found[1]),
    );
    figure('tempo followed, 105 sent, a minute', { first: tempi[0] ?? 0 });
    expect(Math.abs(tempi[0]! - 105)).toBeLessThan(0.5);
    const clicks = events.flatMap((one) =>
      one.type === 'note-on' && one.channel === 10 && CLICK_KEYS.includes(one.pitch) ? [one.at] : [],
    );
    const off = clicks.map((at) => {
      const quarters = (at - zeroMicros) / quarterMicros;
      return (quarters - Math.round(quarters)) * quarterMicros;
    });
    // The emulated machine sends and sounds late by a constant; the click must keep to the other's beats beside that.
    const lag = quantile(off, 0.5);
    const worst = Math.max(...off.map((one) => Math.abs(one - lag)));
    figure('click off the other clock, ms', { lag: lag / 1000, worst: worst / 1000, clicks: clicks.length });
    expect(clicks.length).toBeGreaterThan(10);
    expect(lag).toBeLessThan(30_000);
    expect(worst).toBeLessThan(15_000);
  });
});

// Helpers

/** How long the player takes from its start to its first note, in this machine, now: the middle of three. */
async function playerLateMicros(): Promise<number> {
  const file = writeNotes([{ atMicros: 0, durationMicros: 10_000, pitch: 60 }]);
  const [own] = inputClients();
  const late: number[] = [];
  for (let i = 0; i < 3; i++) {
    events.length = 0;
    const started = monotonicMicros();
    await playFile(file, own!);
    await sleep(200);
    late.push((events.find((one) => one.type === 'note-on')?.at ?? started) - started);
  }
  return late.sort((a, b) => a - b)[1]!;
}

const WORK = ['work', 'slipway', '--bars', '1', '--from', 'model:exact', '--plain'];

function start(words: readonly string[]) {
  const env = { ...process.env, XDG_DATA_HOME: mkdtempSync(join(tmpdir(), 'fettle-alsa-')) };
  return startProgram(['dist/main.js', ...words], { env });
}
