// Note-ons and their releases, paired within one track. A note-on of velocity 0 is a release (MIDI 1.0). Where notes
// of one pitch and channel overlap, the oldest is released first. All sound off, all notes off and the mode messages
// that imply it (controllers 120, 123 to 127) release what is held on their channel.

import type { MidiTrack } from './track.ts';

export interface FileNote {
  readonly pitch: number;
  /** 1 to 16. */
  readonly channel: number;
  /** 1 to 127. */
  readonly velocity: number;
  /** Number of the track, from 1. */
  readonly track: number;
  readonly onTick: number;
  /** Absent when it is never released. */
  readonly offTick?: number;
}

export interface PairedNotes {
  /** By onTick; notes of one tick in the file's order. */
  readonly notes: readonly FileNote[];
  /** Releases of notes that were not held. */
  readonly strayReleases: number;
}

/** Percussion in General MIDI: a click, most often. */
export const PERCUSSION_CHANNEL = 10;

export function pairNotes(track: MidiTrack): PairedNotes {
  const notes: (Omit<FileNote, 'offTick'> & { offTick?: number })[] = [];
  // By key: notes held, the oldest first; what is released stays in the list, before `oldest`.
  const held = new Map<number, { readonly indexes: number[]; oldest: number }>();
  let strayReleases = 0;
  const release = (index: number, tick: number) => {
    notes[index]!.offTick = tick;
  };
  for (const event of track.events) {
    if (event.type === 'controller' && (event.number === 120 || event.number >= 123)) {
      for (const [key, queue] of held) {
        if (key >> 7 !== event.channel) continue;
        for (const index of queue.indexes.slice(queue.oldest)) release(index, event.tick);
        held.delete(key);
      }
      continue;
    }
    if (event.type !== 'note-on' && event.type !== 'note-off') continue;
    const { tick, channel, pitch, velocity } = event;
    const key = channel * 128 + pitch;
    const queue = held.get(key);
    if (event.type === 'note-on' && velocity > 0) {
      if (queue) queue.indexes.push(notes.length);
      else held.set(key, { indexes: [notes.length], oldest: 0 });
      notes.push({ pitch, channel, velocity, track: track.number, onTick: tick });
    } else if (queue) {
      release(queue.indexes[queue.oldest]!, tick);
      queue.oldest += 1;
      if (queue.oldest === queue.indexes.length) held.delete(key);
    } else {
      strayReleases++;
    }
  }
  return { notes, strayReleases };
}
