// Standard MIDI Files, formats 0, 1 and 2, as events with their ticks, and the way from ticks to microseconds.
// Our own reader: a strict one with the byte of every fault is what "never a silently shortened passage" needs (the
// libraries accept truncated files); they are second opinions in the tests. Source: RP-001.

import { EXIT, fail, ok, type Result } from '../../problem.ts';
import type { Issue } from '../reading.ts';
import { MidiFault } from './bytes.ts';
import { type MidiDivision, type MidiFormat, readChunks } from './chunks.ts';
import { type TempoMap, tempoMapOf } from './tempo.ts';
import { type MidiTrack, readTrack } from './track.ts';

export interface MidiEvents {
  readonly format: MidiFormat;
  readonly division: MidiDivision;
  readonly tracks: readonly MidiTrack[];
  /** Warnings: skipped chunks, odd track counts, missing ends. */
  readonly issues: readonly Issue[];
}

/** An hour of dense playing is well under 1 MB. */
const LARGEST_BYTES = 8_000_000;
const MOST_EVENTS = 500_000;

/** Every event of every track; or the first fault, with its byte. Never throws for a file. */
export function readMidiEvents(bytes: Uint8Array): Result<MidiEvents> {
  if (bytes.length > LARGEST_BYTES) {
    return fail({
      code: 'midi.too-large',
      message: `Cannot read the MIDI file: it has ${Math.round(bytes.length / 1e6)} MB, the most is ${LARGEST_BYTES / 1e6}`,
      hint: 'Check that the file is a MIDI file and not a sound recording',
      exitStatus: EXIT.unreadable,
    });
  }
  try {
    const chunks = readChunks(bytes);
    const issues = [...chunks.issues];
    const budget = { events: MOST_EVENTS };
    const tracks = chunks.tracks.map((chunk, i) => readTrack(bytes, chunk, i + 1, budget, issues));
    return ok({ format: chunks.format, division: chunks.division, tracks, issues });
  } catch (error) {
    if (error instanceof MidiFault) return fail(error.problem);
    throw error;
  }
}

/**
 * Ticks to microseconds for a track. In formats 0 and 1 the tempo events of all tracks make one map (the standard puts
 * them in the first); in format 2 every track has its own time.
 */
export function tempoMapFor(file: MidiEvents, track: MidiTrack): TempoMap {
  const sources = file.format === 2 ? [track] : file.tracks;
  return tempoMapOf(
    file.division,
    sources.flatMap(({ events }) => events.flatMap((e) => (e.type === 'tempo' ? [e] : []))),
  );
}
