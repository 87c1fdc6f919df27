// The two outputs that other programs may rely on, as DEVELOPERS.md documents them.

import { spawnSync } from 'node:child_process';
import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import { built } from '../built.ts';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();

/** Bar 1 of "slipway" in concert pitch at 72 a minute: quarter, two eighths, two eighths, quarter. */
const QUARTER = 833_333;
const PITCHES = [60, 65, 67, 69, 70, 72];
const TIMES = [0, 1, 1.5, 2, 2.5, 3].map((quarters) => Math.round(quarters * QUARTER) + 1_000_000);

interface Note {
  readonly pitch: number;
  readonly at: number;
}

const BAR: readonly Note[] = PITCHES.map((pitch, i) => ({ pitch, at: TIMES[i]! }));

function take(name: string, notes: readonly Note[]): string {
  const path = join(folder, `${name}.mid`);
  writeFileSync(
    path,
    writeTake(notes.map(({ pitch, at }) => ({ pitch, onMicros: at, offMicros: at + 300_000, velocity: 80 }))),
  );
  return path;
}

async function judged(name: string, notes: readonly Note[], options = '--tempo 72') {
  const { out, status } = await fettle(`judge slipway ${take(name, notes)} --onsets 1-6 --json ${options}`);
  expect(status).toBe(0);
  return JSON.parse(out);
}

describe('fettle judge --json', () => {
  it('says that a take played as written is clean, with every note and interval', async () => {
    const json = await judged('clean', BAR);
    expect(Object.keys(json)).toEqual([
      'format',
      'clean',
      'sentence',
      'notes',
      'extra',
      'intervals',
      'troubles',
      'timing',
    ]);
    expect(json).toMatchObject({ format: 1, clean: true, extra: [] });
    expect(
      json.notes.map((n: { onset: number; pitch: number; verdict: string; playedPitch: number }) => [
        n.onset,
        n.pitch,
        n.verdict,
        n.playedPitch,
      ]),
    ).toEqual(PITCHES.map((pitch, i) => [i + 1, pitch, 'right', pitch]));
    expect(json.intervals).toHaveLength(5);
    expect(json.intervals[1]).toMatchObject({ from: 2, to: 3, clean: true });
    expect(json.intervals[1].expectedMs).toBeCloseTo(416.667, 2);
    expect(Math.abs(json.intervals[1].deviationMs)).toBeLessThanOrEqual(0.05);
    // Every note is held 300 ms: the quarter of 833.333 ms is let go 533.333 ms before the next, the eighths 116.667 ms.
    const { pace, spreadMs, evennessMs, chords, joins } = json.timing;
    expect([pace, Math.round(spreadMs), Math.round(evennessMs), chords]).toEqual([1, 0, 0, []]);
    expect(joins.map((j: { from: number; overlapMs: number }) => [j.from, Math.round(j.overlapMs)])).toEqual([
      [1, -533],
      [2, -117],
      [3, -117],
      [4, -117],
      [5, -117],
    ]);
  });

  it('says the same in words: how even it was and how its notes were joined', async () => {
    const { out } = await fettle(`judge slipway ${take('words', BAR)} --onsets 1-6 --tempo 72`);
    expect(out).toMatch(/even to 0 ms \(0 % of an interval\)/);
    expect(out).toMatch(/joined: 5 let go before it \(usually 117 ms\)/);
    expect(out).not.toMatch(/on the click/);
  });

  it('measures a known 60 ms, and signs it: short is negative', async () => {
    const early = BAR.map((note, i) => (i >= 3 ? { ...note, at: note.at - 60_000 } : note));
    const { clean, intervals, sentence } = await judged('early', early);
    expect(clean).toBe(false);
    expect(intervals[2].deviationMs).toBeCloseTo(-60, 1);
    expect(intervals[2].share).toBeCloseTo(-60 / 416.667, 3);
    expect(sentence).toMatch(/^Rushed A4 to B4 by 60 ms/);
  });

  it('names a wrong, a missed and an extra note at their onsets', async () => {
    const wrong = await judged(
      'wrong',
      BAR.map((note, i) => (i === 2 ? { ...note, pitch: 68 } : note)),
    );
    expect(wrong.notes[2]).toMatchObject({ onset: 3, pitch: 67, verdict: 'wrong', playedPitch: 68 });
    const missed = await judged(
      'missed',
      BAR.filter((_, i) => i !== 3),
    );
    expect(missed.notes[3]).toEqual({ onset: 4, pitch: 69, verdict: 'missed' });
    const extra = await judged('extra', [
      ...BAR.slice(0, 2),
      { pitch: 62, at: TIMES[1]! + 200_000 },
      ...BAR.slice(2),
    ]);
    expect(extra.extra).toHaveLength(1);
    expect(extra.extra[0]).toMatchObject({ pitch: 62, kind: 'extra' });
    expect(extra.notes.every((n: { verdict: string }) => n.verdict === 'right')).toBe(true);
  });

  it('fits the take’s own pace when no tempo is given', async () => {
    const slower = BAR.map((note) => ({ ...note, at: 1_000_000 + Math.round((note.at - 1_000_000) * 1.3) }));
    expect((await judged('slower', slower, '')).clean).toBe(true);
    expect((await judged('slower', slower)).clean).toBe(false);
  });
});

describe('fettle steps --json', () => {
  it('prints format, passage, drill and steps with sounding pitches, lowest first', async () => {
    const { out } = await fettle('steps lamplighter --bars 1 --drill landings --tempo 60 --json');
    const json = JSON.parse(out);
    expect(Object.keys(json)).toEqual(['format', 'passage', 'drill', 'steps']);
    expect(json).toMatchObject({ format: 1, passage: 'lamplighter', drill: 'landings' });
    expect(Object.keys(json.steps[0])).toEqual(['name', 'tempoBpm', 'leadInBeats', 'holdBeats', 'onsets']);
    expect(json.steps[0]).toMatchObject({ tempoBpm: 60, leadInBeats: 4, holdBeats: 2 });
    expect(json.steps[0].onsets[0]).toEqual({ tick: 0, durationTicks: 20_160, pitches: [50, 66, 69, 74] });
  });

  it('says the sounding pitches of a transposing instrument', async () => {
    const { out } = await fettle('steps slipway --bars 1 --drill landings --json');
    const pitches = JSON.parse(out).steps.flatMap((step: { onsets: { pitches: number[] }[] }) =>
      step.onsets.map((onset) => onset.pitches[0]),
    );
    expect([...new Set(pitches)]).toEqual(PITCHES);
  });
});

// A file without room, as Linux has one for tests (full(4)).
describe.skipIf(!existsSync('/dev/full'))('what is printed into a file without room', () => {
  it.each(['show slipway', 'work slipway --bars 1 --from model:exact --fast'])(
    'is told, and is no success: fettle %s',
    (line) => {
      const program = `"${process.execPath}" "${built('src/main.ts')}"`;
      const { status, stderr } = spawnSync('sh', ['-c', `${program} ${line} > /dev/full`], {
        encoding: 'utf8',
      });
      expect(stderr).toBe('fettle: Cannot write what is printed: the disk is full\n');
      expect(status).toBe(3);
    },
  );
});
