// The notes played so far with their releases, as a value that grows cheaply. A note struck again before its release
// ends the earlier one there; a release without a note changes nothing.

import type { PlayedNote } from '../music/played-note.ts';
import { addedTo, emptyTrail, type Trail } from './trail.ts';

interface Release {
  readonly played: number;
  readonly atMicros: number;
}

export interface PlayedLog {
  readonly notes: Trail<PlayedNote>;
  readonly releases: Trail<Release>;
  /** Indexes of the notes held now: at most one of each pitch. */
  readonly held: readonly number[];
}

export function emptyPlayedLog(): PlayedLog {
  return { notes: emptyTrail(), releases: emptyTrail(), held: [] };
}

export function struck(log: PlayedLog, note: PlayedNote): PlayedLog {
  const { releases, held } = released(log, note.pitch, note.onMicros);
  const played = log.notes.length;
  return {
    notes: addedTo(log.notes, note),
    releases,
    held: note.offMicros === undefined ? [...held, played] : held,
  };
}

export function released(log: PlayedLog, pitch: number, atMicros: number): PlayedLog {
  const played = log.held.find((i) => log.notes.shared[i]!.pitch === pitch);
  if (played === undefined) return log;
  return {
    notes: log.notes,
    releases: addedTo(log.releases, { played, atMicros }),
    held: log.held.filter((i) => i !== played),
  };
}

/** Every note with the release known so far. */
export function playedNotes(log: PlayedLog): PlayedNote[] {
  const notes = log.notes.shared.slice(0, log.notes.length);
  for (const { played, atMicros } of log.releases.shared.slice(0, log.releases.length)) {
    notes[played] = { ...notes[played]!, offMicros: atMicros };
  }
  return notes;
}

/** One note with the release known so far; looks at the latest releases only as far as needed. */
export function playedNote(log: PlayedLog, played: number): PlayedNote {
  const note = log.notes.shared[played]!;
  for (let i = log.releases.length - 1; i >= 0; i--) {
    const release = log.releases.shared[i]!;
    if (release.played === played) return { ...note, offMicros: release.atMicros };
    if (release.atMicros < note.onMicros) break;
  }
  return note;
}
