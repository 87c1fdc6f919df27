// A take written as a MIDI file of format 0. Times are kept to 25 microseconds: 10,000 ticks to the quarter note at
// 120 to the minute make a tick of 50.

import {
  controllerBytes,
  layOutMidiFile,
  noteOffBytes,
  noteOnBytes,
  RANK,
  type TimedBytes,
  tempoBytes,
} from './bytes-writer.ts';
import type { TakeController, TakeNote, TakePressure } from './take.ts';

const TICKS_PER_QUARTER = 10_000;
const MICROS_PER_QUARTER = 500_000;

/** What is needed of a note to write it; channel 1 where it has none. */
export type WritableNote = Omit<TakeNote, 'channel'> & { readonly channel?: number };

/**
 * Notes may come in any order; times are microseconds from the file's start, 0 or more. A note that was never released
 * ends with the file. Reading it back with readTake gives the same notes, times within 25 microseconds.
 */
export function writeTake(
  notes: readonly WritableNote[],
  controllers: readonly TakeController[] = [],
  pressures: readonly TakePressure[] = [],
): Uint8Array {
  let lastMicros = 0;
  for (const n of notes) lastMicros = Math.max(lastMicros, n.onMicros, n.offMicros ?? 0);
  for (const c of controllers) lastMicros = Math.max(lastMicros, c.atMicros);
  for (const p of pressures) lastMicros = Math.max(lastMicros, p.atMicros);

  const events: TimedBytes[] = [{ tick: 0, rank: RANK.meta, bytes: tempoBytes(MICROS_PER_QUARTER) }];
  for (const { atMicros, channel, number, value } of controllers) {
    events.push({
      tick: tickOf(atMicros),
      rank: RANK.controller,
      bytes: controllerBytes(channel, number, value),
    });
  }
  for (const { atMicros, bytes } of pressures) {
    events.push({ tick: tickOf(atMicros), rank: RANK.controller, bytes });
  }
  for (const { onMicros, offMicros = lastMicros, channel = 1, pitch, velocity } of notes) {
    const onTick = tickOf(onMicros);
    const offTick = tickOf(offMicros);
    events.push({ tick: onTick, rank: RANK.onset, bytes: noteOnBytes(channel, pitch, velocity) });
    events.push({
      tick: offTick,
      rank: offTick > onTick ? RANK.release : RANK.emptyRelease,
      bytes: noteOffBytes(channel, pitch),
    });
  }
  return layOutMidiFile(0, TICKS_PER_QUARTER, [events], tickOf(lastMicros));
}

function tickOf(atMicros: number): number {
  if (!(atMicros >= 0))
    throw new RangeError(`Cannot write a take: an event stands at ${atMicros} microseconds`);
  return Math.round((atMicros * TICKS_PER_QUARTER) / MICROS_PER_QUARTER);
}
