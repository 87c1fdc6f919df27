// Calibrating a set-up from recorded takes on the simulated clock: the file's own zero is the first of the sixteen
// clicks, so a known lag must be found again.

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type CalibrateOptions, calibrate } from '../../src/commands/calibrate.ts';
import { lagNotice, recallJitter, recallLag } from '../../src/commands/calibration-record.ts';
import { openRecord } from '../../src/commands/record-argument.ts';
import { TICKS_PER_QUARTER as Q } from '../../src/music/ticks.ts';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import { planTake } from '../../src/take/plan-take.ts';
import { verdictMicros } from '../../src/take/take-times.ts';
import { expectationOf } from '../../src/take/terms.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { play } from '../notation/simulated-player.ts';
import { ownFolder } from '../own-folder.ts';
import { conversation } from './conversation.ts';
import { fettle } from './run.ts';

const folder = ownFolder();
const at = (name: string) => join(folder, name);

describe('calibrating', () => {
  it.each([
    [45_000, 'after'],
    [-38_000, 'before'],
    [210_000, 'after'],
  ])('finds a lag of %i microseconds, tells it and keeps it for the pair', async (lagMicros, way) => {
    const record = at(`lag${lagMicros}.db`);
    const from = taps(`lag${lagMicros}.mid`, { lagMicros, motorSdMicros: 8_000 });
    const talk = conversation([]);
    await calibrate(options({ from, record }), talk);
    expect(talk.text).toMatch(new RegExp(`\\d+ ms ${way} the click`));
    const opened = await openRecord({ record }, true);
    const kept = recallLag(opened, { input: `recorded take ${from}`, output: 'no sound' });
    opened.close();
    // Sixteen taps with a spread of 8 ms: the median of thirteen is sure to some 3 ms (one standard error).
    expect(Math.abs(kept!.lagMicros - lagMicros)).toBeLessThan(9_000);
    expect(lagNotice(kept!)).toMatch(new RegExp(`${way} the click`));
  });

  it('says that nothing is kept of a model or a recorded take, unless a record is named', async () => {
    const from = taps('unkept.mid', { lagMicros: 30_000, motorSdMicros: 5_000 });
    for (const [source, words] of [
      ['model', /Nothing is kept: a model/],
      [from, /Nothing is kept: a recorded take/],
    ] as const) {
      const talk = conversation([]);
      await calibrate({ from: source, fast: true }, talk);
      expect(talk.text).toMatch(words);
      expect(talk.text).not.toContain('from now on');
    }
    const talk = conversation([]);
    await calibrate(options({ from, record: at('kept.db') }), talk);
    expect(talk.text).toContain('fettle work takes it off from now on');
  });

  it('keeps nothing when too few clicks were answered', async () => {
    const record = at('few.db');
    const from = taps('few.mid', { lagMicros: 0, motorSdMicros: 5_000 }, 6);
    const ran = await fettle(['calibrate', '--from', from, '--fast', '--record', record]);
    expect(ran.err).toMatch(/Cannot calibrate: only \d of 13 clicks were answered/);
    expect(ran.status).toBe(2);
    const opened = await openRecord({ record }, true);
    expect(recallLag(opened, { input: `recorded take ${from}`, output: 'no sound' })).toBeUndefined();
    opened.close();
  });

  it('measures the jitter of a steady stream and says for which tolerances it will do', async () => {
    const record = at('jitter.db');
    const from = stream('jitter.mid', 2_500);
    const talk = conversation([]);
    await calibrate(options({ from, record, stream: true }), talk);
    expect(talk.text).toMatch(/good enough for the tolerance "rough"/);
    expect(talk.text).toMatch(/too unsteady to be judged at the tolerance "concert"/);
    const opened = await openRecord({ record }, true);
    const jitter = recallJitter(opened, `recorded take ${from}`)!;
    opened.close();
    // Half of the notes early and half late by 2.5 ms: the median absolute deviation is 2.5 ms, times 1.4826 as a standard
    // deviation (Rousseeuw and Croux 1993).
    expect(jitter.onsetMicros).toBeGreaterThan(3_500);
    expect(jitter.onsetMicros).toBeLessThan(3_900);
  });

  it.each([
    ['--from keys', /Cannot calibrate the computer keyboard/],
    ['--fast', /Cannot play fast/],
    ['--tempo quick --from model --fast', /the tempo "quick"/],
    ['--tolerance exact --from model --fast', /rough, steady, concert/],
  ])('refuses calibrate %s', async (line, words) => {
    const ran = await fettle(`calibrate ${line}`);
    expect(ran.err).toMatch(words);
    expect(ran.status).toBe(2);
  });
});

describe('work with a calibrated lag', () => {
  it('takes it off: a player who is late by the known lag is on the click', async () => {
    const record = at('work.db');
    // The instrument and its sound path together come a quarter of a second late.
    const beat = 60_000_000 / 80;
    const from = taps('slow-path.mid', { lagMicros: 250_000, motorSdMicros: 0 });
    await calibrate(options({ from, record }), conversation([]));
    const opened = await openRecord({ record }, true);
    const { lagMicros } = recallLag(opened, { input: `recorded take ${from}`, output: 'no sound' })!;
    opened.close();
    expect(lagMicros).toBe(250_000);
    const run = {
      name: 'two beats',
      tempo: { bpm: 80, beatTicks: Q },
      pulse: 'click' as const,
      startTick: 0,
      stopTick: Q,
      landing: false,
      joinsNext: false,
      leadInBeats: 4,
      holdBeats: 0,
      endTick: Q,
      clicks: [],
      beats: [],
    };
    const onsets = [0, Q].map((tick, i) => ({ tick, durationTicks: Q, notes: [], number: i + 1 }));
    const step = { run, lines: [{ parts: [0], transposition: 0, onsets }] };
    const entry = { kind: 'lead-in', fromMicros: 1_000_000 } as const;
    const planned = (lagMicros: number) =>
      planTake(step, entry, {
        attempt: 1,
        tolerance: TOLERANCES.steady,
        players: [{ lagMicros, shiftSemitones: 0 }],
      });
    const plain = planned(0);
    const known = planned(lagMicros);
    expect(known.zeroMicros).toBe(plain.zeroMicros);
    expect(known.lines[0]!.terms.opensMicros).toBe(plain.lines[0]!.terms.opensMicros + 250_000);
    expect(verdictMicros(known)).toBe(verdictMicros(plain)! + 250_000);
    expect(expectationOf(known.lines[0]!.terms).zeroMicros).toBe(1_000_000 + 250_000);
    expect(beat).toBeGreaterThan(lagMicros);
  });

  it('tells it at the beginning and reports placement beside it', async () => {
    const record = at('model.db');
    const model = 'model:pupil,seed=3';
    const before = await fettle(`work slipway --bars 1 --from ${model} --fast --record ${at('none.db')}`);
    await calibrate(options({ from: model, record }), conversation([]));
    const after = await fettle(`work slipway --bars 1 --from ${model} --fast --record ${record}`);
    expect(before.out).not.toContain('Calibrated on');
    expect(after.out).toMatch(/Calibrated on 2026-03-02: your notes arrive \d+ ms before the click/);
    expect(meanPlacement(after.out)).toBeLessThan(meanPlacement(before.out));
  });
});

// Helpers

function options(own: CalibrateOptions): CalibrateOptions {
  return { fast: true, ...own };
}

/** A tap on each of so many clicks at 80 a minute, from a player of known lag. Time 0 of the file is the first click. */
function taps(name: string, traits: { lagMicros: number; motorSdMicros: number }, count = 16): string {
  const written = Array.from({ length: count }, (_, i) => ({
    tick: i * Q,
    durationTicks: Q / 2,
    pitches: [60],
  }));
  const notes = play(written, { seed: 21, bpm: 80, beatTicks: Q, ...traits });
  // A file has no time before its zero: a first tap before it is cut to it; the first three are not counted anyway.
  const inFile = notes.map(({ pitch, onMicros, offMicros }) => ({
    pitch,
    onMicros: Math.max(0, onMicros),
    offMicros: Math.max(1_000, offMicros!),
    velocity: 80,
  }));
  writeFileSync(at(name), writeTake(inFile));
  return at(name);
}

function stream(name: string, swayMicros: number): string {
  const notes = Array.from({ length: 80 }, (_, i) => {
    const onMicros = 100_000 + i * 125_000 + (i % 4 < 2 ? swayMicros : -swayMicros);
    return { pitch: 60, onMicros, offMicros: onMicros + 60_000, velocity: 80 };
  });
  writeFileSync(at(name), writeTake(notes));
  return at(name);
}

/** Mean size of the placements told after clean takes, ms. */
function meanPlacement(out: string): number {
  const sizes = [...out.matchAll(/(\d+) ms (?:late|early) on the click/g)].map((match) => Number(match[1]));
  expect(sizes.length).toBeGreaterThan(2);
  return sizes.reduce((sum, size) => sum + size, 0) / sizes.length;
}
