// Recorded takes played by ALSA's own player into a running `fettle work`, over the real driver: a clean take moves on,
// a take with slips does not, and what is told of it agrees with what was sent.

import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { openMidiSource } from '../../src/devices/midi-source.ts';
import { monotonicMicros } from '../../src/devices/system-clock.ts';
import type { Entry } from '../../src/record/entry.ts';
import { allEntries } from '../record/kept-takes.ts';
import { BAR, ENTRY_MICROS } from './bar.ts';
import { type FileNote, figure, inputClients, playFile, sleep, writeNotes } from './sequencer.ts';

/** The bar and the downbeat after it, where the run lands. */
const RUN: readonly FileNote[] = [...BAR, { atMicros: 4_000_000, durationMicros: 950_000, pitch: 70 }];

describe('a take over the real driver', () => {
  it('moves on when it is clean', { retry: 2 }, async () => {
    const { output, status, takes } = await workOn(RUN);
    expect(output).toContain('+ Clean.');
    expect(output).toContain('1 of 1 steps passed');
    expect(status).toBe(0);
    expect(takes[0]).toMatchObject({ clean: true, end: 'stopped' });
    const worst = Math.max(...takes[0]!.verdict!.intervals.map((one) => Math.abs(one.deviationMicros)));
    figure('clean take, widest interval off, ms', { worst: worst / 1000 });
    expect(worst).toBeLessThanOrEqual(2_000);
  });

  it('does not move on with an interval 160 ms short, and is told so within 2 ms', { retry: 2 }, async () => {
    const early = RUN.map((note, i) => (i >= 1 ? { ...note, atMicros: note.atMicros - 160_000 } : note));
    const { output, takes } = await workOn(early);
    const told = Number(/Rushed D4 to G4 by (\d+) ms/.exec(output)?.[1]);
    figure('interval sent 160 ms short, told as, ms', { told });
    expect(Math.abs(told - 160)).toBeLessThanOrEqual(2);
    expect(takes[0]!.clean).toBe(false);
  });

  it('does not move on with a wrong note after an interval 60 ms short; both are known', {
    retry: 2,
  }, async () => {
    const slips = RUN.map((note, i) => ({
      ...note,
      atMicros: i >= 1 ? note.atMicros - 60_000 : note.atMicros,
      pitch: i === 4 ? note.pitch + 1 : note.pitch,
    }));
    const { output, takes } = await workOn(slips);
    expect(output).toMatch(/x Played C#5 for C5/);
    expect(output).not.toContain('1 of 1 steps passed');
    const [first] = takes[0]!.verdict!.intervals;
    figure('interval sent 60 ms short, measured, ms', { deviation: first!.deviationMicros / 1000 });
    expect(first).toMatchObject({ from: 1, to: 2 });
    expect(Math.abs(first!.deviationMicros + 60_000)).toBeLessThanOrEqual(2_000);
  });
});

// Helpers

/** Works on the bar with the notes coming in at the entry; ends after the first verdict. */
async function workOn(
  notes: readonly FileNote[],
): Promise<{ output: string; status: number | null; takes: readonly Entry[] }> {
  const playerLate = await playerLateMicros();
  const record = join(mkdtempSync(join(tmpdir(), 'fettle-work-')), 'practice.db');
  const words = [
    'dist/main.js',
    'work',
    'slipway',
    '--onsets',
    '1-6',
    '--drill',
    'landings',
    '--every',
    '4',
    '--tempo',
    '60',
    '--passes',
    '1',
    '--plain',
    '--click-to',
    'off',
    '--from',
    'Midi Through',
    '--record',
    record,
  ];
  const child: ChildProcess = spawn(process.execPath, words, { stdio: ['ignore', 'pipe', 'inherit'] });
  let output = '';
  let began = 0;
  child.stdout?.on('data', (data) => {
    output += data;
    if (began === 0 && output.includes('step 1 of 1')) began = monotonicMicros();
    // One verdict is enough; the record keeps it.
    if (/[+x] .*\((again|onward)\)/.test(output)) setTimeout(() => child.kill('SIGTERM'), 500);
  });
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve));
  while (began === 0 || inputClients().length === 0) await sleep(20);
  const file = writeNotes(notes);
  await sleep((began + ENTRY_MICROS - playerLate - monotonicMicros()) / 1000);
  await playFile(file);
  const status = await ended;
  const opened = await openDatabaseRecord(record);
  if (!opened.ok) throw new Error(opened.problem.message);
  const takes = await allEntries(opened.value);
  opened.value.close();
  return { output, status, takes };
}

/** How long the player takes from its start to its first note, in this machine, now: the middle of three. */
async function playerLateMicros(): Promise<number> {
  const source = await openMidiSource('Midi Through');
  if (!source.ok) throw new Error(source.problem.message);
  const file = writeNotes([{ atMicros: 0, durationMicros: 10_000, pitch: 60 }]);
  const late: number[] = [];
  let started = 0;
  source.value.start((event) => {
    if (event.type === 'note-on') late.push(event.at - started);
  });
  for (let i = 0; i < 3; i++) {
    started = monotonicMicros();
    await playFile(file);
    await sleep(200);
  }
  await source.value.close();
  return late.sort((a, b) => a - b)[1] ?? 0;
}
