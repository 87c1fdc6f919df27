// A recorded take: what was played, in microseconds, from a MIDI file. A truncated file is a problem, never a shorter
// take. Transposition is not applied here: the pitches are what the file says.

import type { PlayedNote } from '../../music/played-note.ts';
import type { PlayerEvent } from '../../music/player-event.ts';
import { ok, type Result } from '../../problem.ts';
import type { Issue } from '../reading.ts';
import { pressureBytes } from './bytes-writer.ts';
import { readMidiEvents, tempoMapFor } from './events.ts';
import { type FileNote, pairNotes } from './pairing.ts';
import { chooseTracks, type TrackChoice } from './selection.ts';

/** A played note of the file. Times are integer microseconds from the file's start. */
export interface TakeNote extends PlayedNote {
  /** 1 to 16. */
  readonly channel: number;
}

export interface TakeController {
  readonly number: number;
  readonly value: number;
  readonly atMicros: number;
  readonly channel: number;
}

/** Pressure of a channel or a key, as it was sent. */
export interface TakePressure {
  readonly bytes: readonly number[];
  readonly atMicros: number;
}

/** The take as an instrument would send it. */
type TakeEvent = Extract<PlayerEvent, { readonly type: 'note-on' | 'note-off' | 'controller' | 'other' }>;

export interface RecordedTake {
  /** By onMicros. */
  readonly notes: readonly TakeNote[];
  readonly controllers: readonly TakeController[];
  /** Notes, controllers and pressure in the order in which they were played; releases before onsets of the same microsecond. */
  readonly events: readonly TakeEvent[];
  /** Warnings: what was left out, notes never released. */
  readonly issues: readonly Issue[];
}

/**
 * The take in a MIDI file. Channel 10 (a click recorded along) is left out with a warning unless it is all there is or
 * `choice` asks for it.
 */
export function readTake(bytes: Uint8Array, choice: TrackChoice = {}): Result<RecordedTake> {
  const read = readMidiEvents(bytes);
  if (!read.ok) return read;
  const chosen = chooseTracks(read.value, choice);
  if (!chosen.ok) return chosen;
  const issues = [...read.value.issues, ...chosen.value.issues];
  const notes: TakeNote[] = [];
  const controllers: TakeController[] = [];
  const pressures: TakePressure[] = [];
  for (const track of chosen.value.tracks) {
    const map = tempoMapFor(read.value, track);
    const paired = pairNotes(track);
    for (const note of paired.notes) {
      if (chosen.value.takes(note.channel)) notes.push(takeNote(note, map.microsAt));
    }
    if (paired.strayReleases > 0) issues.push(strayWarning(paired.strayReleases, track.number));
    for (const event of track.events) {
      if (event.type === 'controller' && chosen.value.takes(event.channel)) {
        const { number, value, channel, tick } = event;
        controllers.push({ number, value, channel, atMicros: map.microsAt(tick) });
      }
      if (event.type === 'pressure' && chosen.value.takes(event.channel)) {
        pressures.push({ bytes: pressureBytes(event), atMicros: map.microsAt(event.tick) });
      }
    }
  }
  notes.sort((a, b) => a.onMicros - b.onMicros);
  controllers.sort((a, b) => a.atMicros - b.atMicros);
  issues.push(...unreleasedWarnings(notes));
  if (notes.length === 0) {
    issues.push({ code: 'midi.no-notes', message: 'the file has no notes', severity: 'warning' });
  }
  return ok({ notes, controllers, events: takeEvents(notes, controllers, pressures), issues });
}

function takeNote(note: FileNote, microsAt: (tick: number) => number): TakeNote {
  return {
    pitch: note.pitch,
    onMicros: microsAt(note.onTick),
    ...(note.offTick === undefined ? {} : { offMicros: microsAt(note.offTick) }),
    velocity: note.velocity,
    channel: note.channel,
  };
}

function strayWarning(count: number, track: number): Issue {
  return {
    code: 'midi.stray-release',
    message: `track ${track}: left out ${count === 1 ? 'a release' : `${count} releases`} of notes that were not held`,
    severity: 'warning',
  };
}

function unreleasedWarnings(notes: readonly TakeNote[]): Issue[] {
  const held = notes.filter((note) => note.offMicros === undefined);
  if (held.length === 0) return [];
  const seconds = held.slice(0, 5).map((n) => `${(n.onMicros / 1e6).toFixed(2)} s`);
  const more = held.length > 5 ? ', ...' : '';
  return [
    {
      code: 'midi.unreleased',
      message: `${held.length === 1 ? 'a note is' : `${held.length} notes are`} never released (begun at ${seconds.join(', ')}${more})`,
      severity: 'warning',
    },
  ];
}

function takeEvents(
  notes: readonly TakeNote[],
  controllers: readonly TakeController[],
  pressures: readonly TakePressure[],
): TakeEvent[] {
  const events: { event: TakeEvent; rank: number }[] = [];
  for (const { pitch, velocity, channel, onMicros, offMicros } of notes) {
    events.push({ event: { type: 'note-on', at: onMicros, pitch, velocity, channel }, rank: 2 });
    if (offMicros === undefined) continue;
    // A note of no length must still begin before it ends.
    events.push({
      event: { type: 'note-off', at: offMicros, pitch, channel },
      rank: offMicros > onMicros ? 1 : 3,
    });
  }
  for (const { number, value, channel, atMicros } of controllers) {
    events.push({ event: { type: 'controller', at: atMicros, number, value, channel }, rank: 0 });
  }
  for (const { bytes, atMicros } of pressures) {
    events.push({ event: { type: 'other', at: atMicros, bytes }, rank: 0 });
  }
  return events.sort((a, b) => a.event.at - b.event.at || a.rank - b.rank).map(({ event }) => event);
}
