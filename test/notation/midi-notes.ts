// Notes of a MIDI file for the second opinions, read with the midi-file package alone.

import { parseMidi } from 'midi-file';
import type { Passage } from '../../src/music/passage.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';

/** In our ticks; fractions where the file's own ticks are coarser. */
export interface HeardNote {
  readonly tick: number;
  readonly pitch: number;
  readonly durationTicks: number;
}

export interface HeardFile {
  readonly notes: readonly HeardNote[];
  /** Our ticks in one tick of the file. */
  readonly grain: number;
}

export function notesOfMidi(bytes: Uint8Array): HeardFile {
  const midi = parseMidi(bytes);
  const grain = TICKS_PER_QUARTER / midi.header.ticksPerBeat!;
  const notes: HeardNote[] = [];
  for (const track of midi.tracks) {
    const sounding = new Map<string, number[]>();
    let time = 0;
    for (const event of track) {
      time += event.deltaTime;
      if (event.type !== 'noteOn' && event.type !== 'noteOff') continue;
      const key = `${event.channel}:${event.noteNumber}`;
      const starts = sounding.get(key) ?? [];
      sounding.set(key, starts);
      if (event.type === 'noteOn' && event.velocity > 0) starts.push(time);
      else {
        const start = starts.shift();
        if (start === undefined) continue;
        notes.push({ tick: start * grain, pitch: event.noteNumber, durationTicks: (time - start) * grain });
      }
    }
  }
  return { notes, grain };
}

/** What the passage has and the file lacks, and the other way round; both empty where they agree. */
export function disagreement(
  passage: Passage,
  heard: HeardFile,
): { missing: HeardNote[]; added: HeardNote[] } {
  const added = [...heard.notes];
  const missing: HeardNote[] = [];
  // One tick of the file for its rounding, and one more on lengths: both programs end a note a tick early.
  const slack = heard.grain * 1.01;
  for (const { tick, notes } of passage.onsets) {
    for (const { pitch, durationTicks, ornament } of notes) {
      if (ornament === 'grace') continue;
      const at = added.findIndex(
        (n) =>
          n.pitch === pitch &&
          Math.abs(n.tick - tick) <= slack &&
          Math.abs(n.durationTicks - durationTicks) <= 2 * slack,
      );
      if (at < 0) missing.push({ tick, pitch, durationTicks });
      else added.splice(at, 1);
    }
  }
  return { missing, added };
}
