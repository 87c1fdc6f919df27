// A section over the real sequencer: four players with known offsets come out within a millisecond, and a player behind
// a network connection of alsa-utils (aseqnet, between two network namespaces) is an ordinary input.

import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { type MidiSource, openMidiSource } from '../../src/devices/midi-source.ts';
import { monotonicMicros } from '../../src/devices/system-clock.ts';
import { type SectionTake, sectionTakes } from '../../src/section/section-take.ts';
import { type Together, together } from '../../src/section/together.ts';
import { BAR, ENTRY_MICROS } from './bar.ts';
import {
  type FileNote,
  figure,
  inputClients,
  playFile,
  sleep,
  startProgram,
  writeNotes,
  writeParts,
} from './sequencer.ts';

const OFFSETS_MS = { A: 0, B: 20, C: 40, D: -30 } as const;
const GAP = 250_000;
const NOTES = 24;
const WARMING_UP = 30;
const WARM_MICROS = 9_000_000;

const opened: MidiSource[] = [];
const programs: ChildProcess[] = [];
const closing: (() => void)[] = [];

afterEach(async () => {
  for (const program of programs.splice(0)) program.kill();
  for (const end of closing.splice(0)) end();
  await Promise.all(opened.splice(0).map((source) => source.close()));
});

describe('a section over the real driver', () => {
  it('of four with offsets of 0, 20, 40 and -30 ms is told within 1 ms', { retry: 2 }, async () => {
    const names = Object.keys(OFFSETS_MS) as (keyof typeof OFFSETS_MS)[];
    const heard: number[][] = [];
    for (const _ of names) heard.push(await listen('Midi Through'));
    const clients = inputClients();
    // Each input has a clock of its own, whose place is known the better the more has come: everybody warms up first.
    const file = writeParts(
      names.map((name) => [
        ...notesFrom(300_000, 100_000, WARMING_UP),
        ...notesFrom(WARM_MICROS + 1000 * OFFSETS_MS[name], GAP, NOTES),
      ]),
    );
    await sleep(300);
    await playFile(file, clients.join(','));
    await sleep(500);
    for (const onsets of heard)
      expect(onsets.splice(0, WARMING_UP).length + onsets.length).toBe(WARMING_UP + NOTES);
    const { pairs } = together(
      names.map((player, k) => ({
        player,
        onsetMicrosByTick: new Map(heard[k]!.map((micros, i) => [i, micros])),
      })),
    );
    expectOffsets(pairs);
  });

  it('of four on one port is told so by fettle section itself', { retry: 2 }, async () => {
    const names = Object.keys(OFFSETS_MS) as (keyof typeof OFFSETS_MS)[];
    const { take, output } = await playedInto(names, (name) =>
      BAR.map((note) => ({ ...note, atMicros: note.atMicros + 1000 * OFFSETS_MS[name] + 100_000 })),
    );
    figure('told', { sentence: /[+x] .*of 4 clean.*/.exec(output)?.[0] ?? '' });
    expectOffsets(take.together.pairs);
  });

  it('sets the transposition of each player by a named note of their own', { retry: 2 }, async () => {
    const semitones = { Low: -2, High: 3 } as const;
    const names = Object.keys(semitones) as (keyof typeof semitones)[];
    // D4, as the clarinet in B flat of the passage reads it, while the click counts in.
    const naming = { ...BAR[0]!, atMicros: -2_500_000, durationMicros: 300_000 };
    const { take, output } = await playedInto(
      names,
      (name) => [naming, ...BAR].map((note) => ({ ...note, pitch: note.pitch + semitones[name] })),
      ['--named-note', 'D4'],
    );
    expect(output).toContain('First play D4');
    // Right for both, and the named note is no note of the take.
    expect(take.together.pairs).toMatchObject([{ a: 'Low', b: 'High', events: BAR.length }]);
    expect(output).not.toMatch(/Added|Played|Missed/);
  });

  it('hears a player behind aseqnet as an ordinary input, in order and with nothing lost', {
    retry: 1,
  }, async () => {
    const { isApart, host, there } = farNetwork();
    figure('aseqnet: the far one is in', {
      network: isApart ? 'a network namespace of its own' : 'the same network',
    });
    run('aseqnet', ['-p', '40102', '-n', 'Near desk']);
    await sleep(1500);
    const [command, ...words] = [...there, 'aseqnet', '-p', '40102', '-n', 'Far desk', host];
    run(command!, words);
    await sleep(1500);
    const listing = execFileSync('aplaymidi', ['-l'], { encoding: 'utf8' });
    const far = /^\s*(\d+:\d+)\s+Far desk/m.exec(listing)?.[1];
    expect(far).toBeDefined();
    const onsets = await listen('Near desk');
    const pitches = Array.from({ length: NOTES }, (_, i) => 48 + i);
    const file = writeNotes(
      pitches.map((pitch, i) => ({ atMicros: 300_000 + i * 100_000, durationMicros: 50_000, pitch })),
    );
    await playFile(file, far!);
    await sleep(800);
    expect(onsets).toHaveLength(NOTES);
    const gaps = onsets.slice(1).map((micros, i) => (micros - onsets[i]!) / 1000);
    figure('behind aseqnet, a note is moved against its neighbour by at most, ms', {
      worst: Math.max(...gaps.map((gap) => Math.abs(gap - 100))),
    });
  });
});

// Helpers

/** What a section of these players on one port makes of a take, with the notes that each sends from the entry on. */
async function playedInto<Name extends string>(
  names: readonly Name[],
  notesOf: (name: Name) => readonly FileNote[],
  more: readonly string[] = [],
): Promise<{ take: SectionTake; output: string }> {
  const folder = mkdtempSync(join(tmpdir(), 'fettle-section-'));
  const [file, record] = [join(folder, 'section.json'), join(folder, 'practice.db')];
  const players = names.map((name, i) => ({ name, from: 'Midi Through', channel: i + 1 }));
  writeFileSync(file, JSON.stringify({ section: 'Reeds', players }));
  const words = 'slipway --onsets 1-6 --drill landings --every 4 --tempo 60 --passes 1 --run-on --plain';
  const program = startProgram(
    ['dist/main.js', 'section', file, ...words.split(' '), '--click-to', 'off', '--record', record, ...more],
    { env: process.env },
  );
  closing.push(program.end);
  await program.says('step 1 of 1');
  const began = monotonicMicros();
  const [client] = inputClients();
  const notes = names.flatMap((name, part) => notesOf(name).map((note) => ({ ...note, channel: part + 1 })));
  notes.sort((a, b) => a.atMicros - b.atMicros);
  // The players differ by what is known however late the player of the file begins.
  const first = notes[0]!.atMicros;
  const sent = writeNotes(notes.map((note) => ({ ...note, atMicros: note.atMicros - first + 100_000 })));
  await sleep((began + ENTRY_MICROS + Math.min(first, 0) - 300_000 - monotonicMicros()) / 1000);
  await playFile(sent, client!);
  await program.says(`of ${names.length} clean`);
  program.end();
  await program.ended;
  const opened = await openDatabaseRecord(record);
  if (!opened.ok) throw new Error(opened.problem.message);
  const reader = await opened.value.reader();
  const [take] = sectionTakes(await reader.summaries({ section: 'Reeds' }));
  await reader.close();
  return { take: take!, output: program.output() };
}

/**
 * Another network, by a cable of its own (a pair of veth): a namespace, as another computer would be. Where we may not make
 * one, this network: two processes.
 */
function farNetwork(): { isApart: boolean; host: string; there: readonly string[] } {
  const ip = (line: string) => execFileSync('ip', line.split(' '), { stdio: 'pipe' });
  try {
    try {
      execFileSync('modprobe', ['veth'], { stdio: 'pipe' });
    } catch {
      // Built in, or not to be had: then the next line says so.
    }
    ip('netns add fettle-far');
    // The cable goes with it.
    closing.push(() => void ip('netns del fettle-far'));
    ip('link add fettle-near type veth peer name fettle-far netns fettle-far');
    ip('addr add 10.77.0.1/24 dev fettle-near');
    ip('link set fettle-near up');
    ip('-n fettle-far addr add 10.77.0.2/24 dev fettle-far');
    ip('-n fettle-far link set fettle-far up');
    return { isApart: true, host: '10.77.0.1', there: ['ip', 'netns', 'exec', 'fettle-far'] };
  } catch (error) {
    console.log(`no network namespace: ${(error as Error).message}`);
    return { isApart: false, host: 'localhost', there: [] };
  }
}

function notesFrom(firstMicros: number, gapMicros: number, count: number): FileNote[] {
  return Array.from({ length: count }, (_, i) => ({
    atMicros: firstMicros + i * gapMicros,
    durationMicros: 50_000,
    pitch: 60 + (i % 12),
  }));
}

/** Within 1 ms. */
function expectOffsets(pairs: Together['pairs']): void {
  expect(pairs).toHaveLength(6);
  const errors = pairs.map(({ a, b, leadMicros }) => {
    const sent = OFFSETS_MS[a as keyof typeof OFFSETS_MS] - OFFSETS_MS[b as keyof typeof OFFSETS_MS];
    return leadMicros / 1000 - sent;
  });
  figure('lead between players, off by at most, ms', { worst: Math.max(...errors.map(Math.abs)) });
  figure('asynchrony of a pair, at most, ms', {
    worst: Math.max(...pairs.map(({ asynchronyMicros }) => asynchronyMicros / 1000)),
  });
  for (const error of errors) expect(Math.abs(error)).toBeLessThanOrEqual(1);
}

/** The times of the notes that come in, filled as they come. */
async function listen(port: string): Promise<number[]> {
  const source = await openMidiSource(port);
  if (!source.ok) throw new Error(source.problem.message);
  const onsets: number[] = [];
  source.value.start((event) => {
    if (event.type === 'note-on') onsets.push(event.at);
  });
  opened.push(source.value);
  return onsets;
}

function run(command: string, words: readonly string[]): void {
  programs.push(spawn(command, words, { stdio: 'ignore' }));
}
