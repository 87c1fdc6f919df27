// Playing a passage in, from a recorded take on the simulated clock; the questions are answered from a list. The players are
// seeded and their truth is known (test/notation/simulated-player.ts).

import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { capture } from '../../src/commands/capture.ts';
import type { CaptureOptions } from '../../src/commands/capture-options.ts';
import { type PlayInPorts, playIn } from '../../src/devices/play-in.ts';
import type { Passage } from '../../src/music/passage.ts';
import { spellingName } from '../../src/music/pitch.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { TICKS_PER_QUARTER as Q } from '../../src/music/ticks.ts';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import { readPassageBytes } from '../../src/notation/read.ts';
import { RecordedClick } from '../../src/simulation/recorded-click.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';
import { lots } from '../notation/generated-passage.ts';
import { play, type WrittenNote, writeCells } from '../notation/simulated-player.ts';
import { ownFolder } from '../own-folder.ts';
import { conversation } from './conversation.ts';
import { fettle } from './run.ts';

const folder = ownFolder();
const at = (name: string) => join(folder, name);

const CELLS = ['plain', 'halves', 'triplet', 'dotted', 'quarters', 'half rest', 'halves', 'plain'];

describe('playing a passage in', () => {
  it('saves what a steady player played, right to the last note, and reads it back', async () => {
    const written = writeCells(CELLS, Q, lots(5));
    const from = take('steady.mid', written, { motorSdMicros: 12_000 });
    const out = at('steady.abc');
    const ran = await fettle(['capture', '--from', from, '--fast', '--tempo', '60', '--out', out, '--yes']);
    expect(ran.err).toBe('');
    expect(ran.status).toBe(0);
    expect(ran.out).toContain(`Saved ${out}`);
    expect(rhythmOf(await readBack(out))).toEqual(written.map(({ tick, pitches }) => [tick, [...pitches]]));
  });

  it('names the tempo of a recording that was not played at the one assumed, and it fits', async () => {
    const halves = [0, 1, 2, 3, 4, 5, 6, 8, 9, 10, 11, 12, 14, 16, 17, 18, 19, 20, 22];
    const line = halves.map((half, i) => ({
      tick: (half * Q) / 2,
      durationTicks: Q / 2,
      pitches: [60 + (i % 8)],
    }));
    const from = take('quicker.mid', line, { motorSdMicros: 8_000, bpm: 71.4 });
    const talk = conversation([]);
    await capture(options({ from, out: at('quicker.abc'), yes: true }), talk);
    expect(talk.text).toContain('it was not played at 60. Name its tempo: --tempo 71.');
    expect(talk.text).not.toContain('slower');
    const named = conversation([]);
    const out = at('named.abc');
    await capture(options({ from, out, yes: true, tempo: '71' }), named);
    expect(named.text).not.toContain('uncertain');
    expect((await readBack(out)).onsets.map(({ tick }) => tick)).toEqual(line.map(({ tick }) => tick));
  });

  it('takes the beats before the first bar for a pickup', async () => {
    const line = [0, 1, 2, 3, 4].map((k) => ({ tick: k * Q, durationTicks: Q, pitches: [60 + 2 * k] }));
    const from = take('pickup.mid', line, { motorSdMicros: 5_000 });
    const out = at('pickup.abc');
    await capture(options({ from, out, yes: true, pickup: '1', meter: '4/4' }), conversation([]));
    const passage = await readBack(out);
    expect(passage.bars.map(({ number, pickup }) => [number, pickup])).toEqual([
      [0, true],
      [1, false],
    ]);
    expect(passage.bars[0]!.durationTicks).toBe(Q);
  });

  it('writes for a transposing instrument: the names as read, the pitches as sounding', async () => {
    const line = [0, 1, 2, 3].map((k) => ({ tick: k * Q, durationTicks: Q, pitches: [60 + k] }));
    const from = take('clarinet.mid', line, { motorSdMicros: 5_000 });
    const out = at('clarinet.abc');
    await capture(options({ from, out, yes: true, instrument: 'clarinet', key: 'D' }), conversation([]));
    const { onsets } = await readBack(out);
    expect(onsets.map(({ notes }) => notes[0]!.pitch)).toEqual([60, 61, 62, 63]);
    // A clarinet in B flat reads a major second above what sounds (facts: handbook transpositions).
    expect(onsets.map(({ notes }) => spellingName(notes[0]!.spelling))).toEqual(['D4', 'D#4', 'E4', 'F4']);
  });

  it('lets single notes be put right, undone, left out, and then asks for a name', async () => {
    const line = [0, 1, 2, 3].map((k) => ({ tick: k * Q, durationTicks: Q, pitches: [60 + k] }));
    const from = take('fixes.mid', line, { motorSdMicros: 5_000 });
    const out = at('fixes.abc');
    const talk = conversation(['2 Db4', '3 F4+A4 1/8', '1 -', 'u', '4 -', '3', '', at('fixes')]);
    await capture(options({ from }), talk);
    expect(talk.text).toContain('onset 3: F4+A4, bar 1 beat 3, 1/8 long');
    const { onsets } = await readBack(out);
    expect(onsets.map(({ notes }) => notes.map((note) => spellingName(note.spelling)).join('+'))).toEqual([
      'C4',
      'Db4',
      'F4+A4',
    ]);
    expect(onsets[2]!.notes.map(({ durationTicks }) => durationTicks)).toEqual([Q / 2, Q / 2]);
  });

  it('says what is wrong with a fix and goes on asking', async () => {
    const line = [0, 1].map((k) => ({ tick: k * Q, durationTicks: Q, pitches: [60 + k] }));
    const from = take('slips.mid', line, { motorSdMicros: 5_000 });
    const talk = conversation(['9 C4', 'hm', '1 H4', '1 1/2', '1 other', 'u', 'r 9000', 'q']);
    await capture(options({ from, instrument: 'flute' }), talk);
    for (const words of [
      'Cannot change onset 9: the onsets are 1 to 2',
      'Cannot read "hm"',
      'Cannot read "H4" for onset 1',
      'the next note begins after 1/4',
      'no other place is likely',
      'Nothing has been changed',
      'the tempo "9000"',
      'Nothing is saved.',
    ])
      expect(talk.text).toContain(words);
  });

  it('marks a doubtful place, says what else it could be, and takes the other on request', async () => {
    // A note so far into its beat lies between a triplet's last and a sixteenth's last note.
    const between = [0, 0.701, 1, 2, 3].map((beat, i) => ({
      pitch: 60 + i,
      onMicros: Math.round(beat * 1e6),
      offMicros: Math.round(beat * 1e6) + 200_000,
      velocity: 80,
    }));
    const from = at('between.mid');
    writeFileSync(from, writeTake(between));
    const out = at('between.abc');
    const talk = conversation(['2 other', '', out]);
    await capture(options({ from, tempo: '60' }), talk);
    const [, here, there] =
      /\? onset 2: bar 1 beat 1 (\d\/\d), .* sure; it could be bar 1 beat 1 (\d\/\d)/.exec(talk.text) ?? [];
    expect([here, there].sort()).toEqual(['2/3', '3/4']);
    expect(talk.text).toMatch(/^onset.* 2\?/m);
    const [count, parts] = there!.split('/').map(Number);
    expect((await readBack(out)).onsets[1]!.tick).toBe((Q * count!) / parts!);
  });

  it('plays again on request', async () => {
    const from = take('again.mid', [{ tick: 0, durationTicks: Q, pitches: [60] }], { motorSdMicros: 0 });
    const talk = conversation(['r 50', 'q']);
    await capture(options({ from }), talk);
    expect(talk.lines.filter((line) => line.includes('a bar is counted'))).toHaveLength(2);
    expect(talk.text).toContain('4/4 at 50');
  });

  it('never writes over a file without asking', async () => {
    const from = take('twice.mid', [{ tick: 0, durationTicks: Q, pitches: [60] }], { motorSdMicros: 0 });
    const out = at('there.abc');
    writeFileSync(out, 'mine');
    const other = at('other.abc');
    await capture(options({ from, out }), conversation(['', 'n', other]));
    expect(readFileSync(out, 'utf8')).toBe('mine');
    expect(existsSync(other)).toBe(true);
    const refused = await fettle(['capture', '--from', from, '--fast', '--out', out, '--yes']);
    expect(refused.err).toMatch(/there is such a file already/);
    expect(refused.status).toBe(2);
    expect(readFileSync(out, 'utf8')).toBe('mine');
    await capture(options({ from, out }), conversation(['y', 'y']));
    expect(readFileSync(out, 'utf8')).toContain('K:C');
  });

  it.each([
    ['--from model', /Cannot play in from a model/],
    ['--from keys', /Cannot play in from the computer keyboard/],
    ['--from a.mid --fast --yes', /no file is named/],
    ['--from a.mid --out tune.mid', /is saved as ABC/],
    ['--from a.mid --meter 4/5', /the meter "4\/5"/],
    ['--from a.mid --key H', /the key "H"/],
    ['--from a.mid --instrument flut', /the instrument "flut"/],
    ['--from a.mid --pickup 4', /less than a bar/],
    ['--from anything --pickup 1', /a pickup is heard/],
    ['--fast', /Cannot play fast/],
  ])('refuses capture %s before anything is played', async (line, words) => {
    const ran = await fettle(`capture ${line}`);
    expect(ran.err).toMatch(words);
    expect(ran.status).toBe(2);
    expect(ran.out).toBe('');
  });

  it('says so when nothing was played', async () => {
    const from = at('silent.mid');
    writeFileSync(from, writeTake([]));
    const ran = await fettle(['capture', '--from', from, '--fast', '--yes', '--out', at('silent.abc')]);
    expect(ran.err).toMatch(/nothing was played/);
    expect(ran.status).toBe(2);
  });
});

describe('the count and the end of playing in', () => {
  const settings = { tempo: { bpm: 60, beatTicks: Q }, meter: { count: 3, unit: 4 } };

  it('counts a bar, goes on clicking, and ends after two bars of silence', async () => {
    const { clock, click, hear, playing } = studio(settings);
    hear('note-on', 5_000_000, 60);
    hear('note-off', 5_400_000, 60);
    clock.runUntilIdle(60_000_000);
    const { notes, zeroMicros, end } = await playing;
    // A second and a half to take breath, then a bar of three beats.
    expect(zeroMicros).toBe(4_500_000);
    expect(notes).toEqual([{ pitch: 60, onMicros: 5_000_000, offMicros: 5_400_000, velocity: 80 }]);
    expect(end).toBe('silence');
    expect(clock.nowMicros()).toBe(5_400_000 + 6_000_000);
    expect(click.clicks.map(({ accent }) => accent).slice(0, 6)).toEqual([
      'bar',
      'beat',
      'beat',
      'bar',
      'beat',
      'beat',
    ]);
    expect(click.clicks.every((one, i) => one.atMicros === 1_500_000 + i * 1_000_000)).toBe(true);
    expect(click.clicks.at(-1)!.atMicros).toBeLessThan(clock.nowMicros());
  });

  it('takes what is played late in the count for a pickup and what comes before it for trying out', async () => {
    const { clock, hear, playing } = studio(settings);
    hear('note-on', 900_000, 62);
    hear('note-off', 1_000_000, 62);
    hear('note-on', 3_500_000, 64);
    hear('note-off', 3_900_000, 64);
    clock.runUntilIdle(60_000_000);
    expect((await playing).notes.map(({ pitch }) => pitch)).toEqual([64]);
  });

  it('does not take a long note for silence', async () => {
    const { clock, hear, playing } = studio(settings);
    hear('note-on', 5_000_000, 60);
    hear('note-off', 14_000_000, 60);
    hear('note-on', 14_000_000, 62);
    hear('note-off', 14_500_000, 62);
    clock.runUntilIdle(60_000_000);
    expect((await playing).notes).toHaveLength(2);
  });

  it('ends when asked, and keeps what came when the instrument is lost', async () => {
    const asked = studio(settings);
    asked.hear('note-on', 5_000_000, 60);
    asked.clock.advanceTo(5_200_000);
    asked.stop();
    expect(await asked.playing).toMatchObject({ end: 'asked', notes: [{ pitch: 60 }] });
    const lost = studio(settings);
    lost.hear('note-on', 5_000_000, 60);
    lost.clock.wakeAt(5_100_000, () => lost.report({ type: 'lost', at: 5_100_000, reason: 'unplugged' }));
    lost.clock.runUntilIdle(60_000_000);
    expect(await lost.playing).toMatchObject({ end: 'lost', reason: 'unplugged', notes: [{ pitch: 60 }] });
  });
});

// Helpers

function options(own: Partial<CaptureOptions>): CaptureOptions {
  return { fast: true, ...own };
}

function take(
  name: string,
  written: readonly WrittenNote[],
  traits: { motorSdMicros: number; bpm?: number },
): string {
  const notes = play(written, { seed: 11, bpm: 60, beatTicks: Q, zeroMicros: 500_000, ...traits });
  writeFileSync(
    at(name),
    writeTake(notes.map((note) => ({ ...note, offMicros: note.offMicros ?? note.onMicros, velocity: 80 }))),
  );
  return at(name);
}

async function readBack(path: string): Promise<Passage> {
  const { passage, issues } = await readPassageBytes(readFileSync(path), path);
  expect(issues).toEqual([]);
  return passage!;
}

function rhythmOf({ onsets }: Passage): [number, number[]][] {
  return onsets.map(({ tick, notes }) => [tick, notes.map(({ pitch }) => pitch)]);
}

function studio(settings: Parameters<typeof playIn>[1]) {
  const clock = new SimulatedClock();
  const click = new RecordedClick();
  let report: (event: PlayerEvent) => void = () => {};
  let stop = () => {};
  const source: PlayInPorts['source'] = {
    name: 'a flute of the Tidewrack Wind Band',
    start: (given) => {
      report = given;
    },
    prompt: () => {},
    hush: () => {},
    close: async () => {},
  };
  const onStart = (given: () => void) => {
    stop = given;
  };
  const playing = playIn({ source, clock, click, onStart }, settings);
  const hear = (type: 'note-on' | 'note-off', atMicros: number, pitch: number) =>
    clock.wakeAt(atMicros, () =>
      report(
        type === 'note-on'
          ? { type, at: atMicros, pitch, velocity: 80, channel: 1 }
          : { type, at: atMicros, pitch, channel: 1 },
      ),
    );
  return {
    clock,
    click,
    playing,
    hear,
    stop: () => stop(),
    report: (event: PlayerEvent) => report(event),
  };
}
