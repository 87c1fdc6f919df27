// What the tests over the real sequencer share: sending a MIDI file with ALSA's own player (its timing is exact, Node's
// is not), finding ports, running a program while a file is played into it, and blocking the main thread on purpose.

import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  layOutMidiFile,
  metaBytes,
  noteOffBytes,
  noteOnBytes,
  RANK,
  tempoBytes,
} from '../../src/notation/midi-file/bytes-writer.ts';

/** RtMidi's name of every input client; a file sent there arrives in the program's open input. */
const INPUT_CLIENT = 'RtMidi Input Client';

export interface FileNote {
  readonly atMicros: number;
  readonly durationMicros: number;
  readonly pitch: number;
  readonly velocity?: number;
  /** From 1. */
  readonly channel?: number;
}

/** A Standard MIDI File with a tick of exactly 100 microseconds (quarter of 1 s, division 10,000). */
export function writeNotes(notes: readonly FileNote[], name = 'notes.mid'): string {
  return writeParts([notes], name);
}

/**
 * The same with a track for each part, the first for the first of the ports that the file is played to, and so on. Laid
 * out by our own writer (the library needs minutes for an hour of notes); the library reads what that writes in
 * test/notation.
 */
export function writeParts(parts: readonly (readonly FileNote[])[], name = 'notes.mid'): string {
  const file = join(mkdtempSync(join(tmpdir(), 'fettle-alsa-')), name);
  const tracks = parts.map((notes, part) => [
    { tick: 0, rank: RANK.meta, bytes: metaBytes(PORT_NUMBER, [part]) },
    { tick: 0, rank: RANK.meta, bytes: tempoBytes(1_000_000) },
    ...notes.flatMap(({ atMicros, durationMicros, pitch, velocity = 80, channel = 1 }) => [
      { tick: Math.round(atMicros / 100), rank: RANK.onset, bytes: noteOnBytes(channel, pitch, velocity) },
      {
        tick: Math.round((atMicros + durationMicros) / 100),
        rank: RANK.release,
        bytes: noteOffBytes(channel, pitch),
      },
    ]),
  ]);
  writeFileSync(file, layOutMidiFile(parts.length === 1 ? 0 : 1, 10_000, tracks, 0));
  return file;
}

/** The meta event of which aplaymidi reads the port of a track. */
const PORT_NUMBER = 0x21;

/** Plays a file to a port (several: with commas), by client name or "client:port" numbers; resolves when the player has ended. */
export function playFile(file: string, to: string = INPUT_CLIENT): Promise<void> {
  return new Promise((resolve, reject) => {
    const player = spawn('aplaymidi', ['-d', '0', '-p', to, file], { stdio: ['ignore', 'ignore', 'pipe'] });
    let said = '';
    player.stderr.on('data', (data) => {
      said += data;
    });
    player.on('close', (status) => (status === 0 ? resolve() : reject(new Error(`aplaymidi: ${said}`))));
  });
}

/** "client:port" numbers of every open RtMidi input, in the order in which they were opened. */
export function inputClients(): string[] {
  const listing = execFileSync('aplaymidi', ['-l'], { encoding: 'utf8' });
  return listing
    .split('\n')
    .filter((line) => line.includes(INPUT_CLIENT))
    .map((line) => line.trim().split(/\s+/)[0]!)
    .sort((a, b) => Number.parseInt(a, 10) - Number.parseInt(b, 10));
}

const PATIENCE_MS = 60_000;

/** Starts a program whose lines are waited for, and where one does not come it is told what came instead. */
export function startProgram(command: readonly string[], { env }: { readonly env: NodeJS.ProcessEnv }) {
  const child: ChildProcess = spawn(process.execPath, command, { stdio: ['ignore', 'pipe', 'pipe'], env });
  let output = '';
  const keep = (data: unknown) => {
    output += String(data);
  };
  child.stdout?.on('data', keep);
  child.stderr?.on('data', keep);
  return {
    output: () => output,
    ended: new Promise<number | null>((resolve) => child.on('close', resolve)),
    end: () => child.kill('SIGTERM'),
    says: async (wanted: string, from = 0) => {
      for (let waited = 0; !output.slice(from).includes(wanted); waited += 20) {
        if (waited > PATIENCE_MS || child.exitCode !== null)
          throw new Error(`The program never said "${wanted}":\n${output}`);
        await sleep(20);
      }
    },
  };
}

/** Blocks this thread for `blockMs`, again and again with a breath in between, until the returned function is called. */
export function stallMainThread(blockMs: number, breathMs = 5): () => void {
  let stopped = false;
  const stall = () => {
    if (stopped) return;
    const until = performance.now() + blockMs;
    while (performance.now() < until);
    setTimeout(stall, breathMs);
  };
  stall();
  return () => {
    stopped = true;
  };
}

export function sleep(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

/** Quantile by the nearest rank. */
export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}

/** Prints a measured figure with the test that it belongs to. */
export function figure(name: string, values: Readonly<Record<string, number | string>>): void {
  const text = Object.entries(values)
    .map(([key, value]) => `${key} ${typeof value === 'number' ? Number(value.toFixed(3)) : value}`)
    .join(', ');
  console.log(`FIGURE ${name}: ${text}`);
}
