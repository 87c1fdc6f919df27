// Which tracks and channels of a MIDI file are meant. Tracks count from 1 in the file's order, channels 1 to 16.

import { EXIT, fail, ok, type Result } from '../../problem.ts';
import type { Issue } from '../reading.ts';
import type { MidiEvents } from './events.ts';
import { PERCUSSION_CHANNEL } from './pairing.ts';
import type { MidiTrack } from './track.ts';

export interface TrackChoice {
  readonly track?: number;
  readonly channel?: number;
}

export interface ChosenTracks {
  readonly tracks: readonly MidiTrack[];
  /** Whether notes of a channel are meant. */
  takes(channel: number): boolean;
  readonly issues: readonly Issue[];
}

/**
 * The tracks and channels asked for; all of them otherwise, but without percussion where there is anything else, and
 * only the first pattern with notes of a format 2 file. What is left out unasked is told.
 */
export function chooseTracks(file: MidiEvents, choice: TrackChoice): Result<ChosenTracks> {
  const counts = noteCounts(file);
  const here = counts.filter(
    (c) =>
      (choice.track === undefined || c.track === choice.track) &&
      (choice.channel === undefined || c.channel === choice.channel),
  );
  if (here.length === 0 && (choice.track !== undefined || choice.channel !== undefined)) {
    return fail(nothingThere(choice, counts));
  }
  const issues: Issue[] = [];
  let meant = here;
  if (choice.channel === undefined) {
    const pitched = meant.filter((c) => c.channel !== PERCUSSION_CHANNEL);
    const percussion = sum(meant) - sum(pitched);
    if (pitched.length === 0 && percussion > 0) {
      issues.push({
        code: 'midi.percussion-only',
        message:
          'all notes are on channel 10 (percussion): they are read as pitches, which drums and clicks do not have',
        severity: 'warning',
      });
    } else if (percussion > 0) {
      meant = pitched;
      issues.push({
        code: 'midi.percussion',
        message: `left out ${percussion === 1 ? '1 note' : `${percussion} notes`} on channel 10 (percussion)`,
        severity: 'warning',
      });
    }
  }
  const patterns = [...new Set(meant.map((c) => c.track))];
  if (file.format === 2 && patterns.length > 1) {
    meant = meant.filter((c) => c.track === patterns[0]);
    issues.push({
      code: 'midi.patterns',
      message: `a file of format 2 holds patterns that do not belong together: read track ${patterns[0]}, left out ${patterns.slice(1).join(', ')}`,
      severity: 'warning',
    });
  }
  const channels = new Set(meant.map((c) => c.channel));
  const tracks = new Set(meant.map((c) => c.track));
  return ok({
    tracks: file.tracks.filter((t) => tracks.has(t.number)),
    takes: (channel) => channels.has(channel),
    issues,
  });
}

interface NoteCount {
  readonly track: number;
  readonly channel: number;
  notes: number;
}

function noteCounts(file: MidiEvents): NoteCount[] {
  const counts = new Map<number, NoteCount>();
  for (const track of file.tracks) {
    for (const event of track.events) {
      if (event.type !== 'note-on' || event.velocity === 0) continue;
      const key = track.number * 32 + event.channel;
      const count = counts.get(key) ?? { track: track.number, channel: event.channel, notes: 0 };
      count.notes++;
      counts.set(key, count);
    }
  }
  return [...counts.values()];
}

function sum(counts: readonly NoteCount[]): number {
  return counts.reduce((total, c) => total + c.notes, 0);
}

function nothingThere(choice: TrackChoice, counts: readonly NoteCount[]) {
  const asked = [
    ...(choice.track === undefined ? [] : [`track ${choice.track}`]),
    ...(choice.channel === undefined ? [] : [`channel ${choice.channel}`]),
  ].join(', ');
  const there = counts
    .slice(0, 16)
    .map((c) => `track ${c.track} channel ${c.channel} (${c.notes === 1 ? '1 note' : `${c.notes} notes`})`);
  return {
    code: 'midi.nothing-there',
    message: `Cannot read ${asked}: there are no notes`,
    hint: there.length === 0 ? 'the file has no notes at all' : `there are notes in ${there.join('; ')}`,
    exitStatus: EXIT.usage,
  };
}
