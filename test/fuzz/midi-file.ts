// Damaged MIDI files for the reader: good ones with bytes changed, dropped, doubled, cut and swapped, from a seed.
// `fuzzMidiFiles` is called by the tests with a few hundred runs and by `npm run fuzz` with many.

import { readMidiFile } from '../../src/notation/midi-file/reader.ts';
import { readTake } from '../../src/notation/midi-file/take.ts';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import { writeMidiFile } from '../../src/notation/midi-file/writer.ts';
import { generatedPassage, lots } from '../notation/generated-passage.ts';

export interface FuzzOutcome {
  readonly runs: number;
  /** Files that were still read, and files refused with a place or a reason. */
  readonly read: number;
  readonly refused: number;
  /** What should not have been: an exception, an answer that contradicts itself, a hang of seconds. */
  readonly faults: readonly string[];
  readonly slowestMs: number;
}

/** `now`: milliseconds, for the slowest file only. */
export function fuzzMidiFiles(runs: number, seed: number, now: () => number): FuzzOutcome {
  const lot = lots(seed);
  const faults: string[] = [];
  let [read, refused, slowestMs] = [0, 0, 0];
  for (let run = 0; run < runs; run++) {
    const bytes = damaged(wholeFile(run, lot), lot);
    const before = now();
    try {
      const reading = readMidiFile(bytes, 'damaged.mid');
      const failed = reading.issues.some((issue) => issue.severity === 'error');
      if (failed === (reading.passage !== undefined)) faults.push(`run ${run}: neither read nor refused`);
      if (reading.passage) read++;
      else refused++;
      const take = readTake(bytes);
      if (!take.ok && reading.passage) faults.push(`run ${run}: a passage but no take`);
    } catch (error) {
      faults.push(`run ${run}: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`);
    }
    const took = now() - before;
    slowestMs = Math.max(slowestMs, took);
    if (took > 5_000) faults.push(`run ${run}: took ${Math.round(took)} ms`);
  }
  return { runs, read, refused, faults, slowestMs };
}

function wholeFile(run: number, lot: () => number): Uint8Array {
  if (run % 3 > 0) return writeMidiFile(generatedPassage(1 + Math.floor(lot() * 1e6)));
  let at = 0;
  return writeTake(
    Array.from({ length: 1 + Math.floor(lot() * 40) }, () => {
      const onMicros = at;
      at += Math.floor(lot() * 600_000);
      return {
        pitch: Math.floor(lot() * 128),
        onMicros,
        offMicros: onMicros + Math.floor(lot() * 500_000),
        velocity: 1 + Math.floor(lot() * 127),
      };
    }),
  );
}

function damaged(whole: Uint8Array, lot: () => number): Uint8Array {
  let bytes = [...whole];
  const upTo = (n: number) => Math.floor(lot() * n);
  for (let i = 1 + upTo(4); i > 0 && bytes.length > 0; i--) {
    const at = upTo(bytes.length);
    const length = 1 + upTo(Math.min(24, bytes.length - at));
    const kind = upTo(7);
    if (kind === 0) bytes[at] = upTo(256);
    else if (kind === 1) bytes[at]! ^= 1 << upTo(8);
    else if (kind === 2) bytes.splice(at, length);
    else if (kind === 3) bytes.splice(at, 0, ...bytes.slice(at, at + length));
    else if (kind === 4) bytes = bytes.slice(0, at);
    else if (kind === 5) bytes[at] = [0, 0x7f, 0x80, 0xff][upTo(4)]!;
    else bytes.splice(at, length, ...Array.from({ length }, () => upTo(256)));
  }
  return Uint8Array.from(bytes);
}
