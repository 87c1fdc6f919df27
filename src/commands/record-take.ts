// `fettle record take N`: one take of the record, and what was played as a MIDI file.

import { existsSync } from 'node:fs';
import type { PlayerEvent } from '../music/player-event.ts';
import type { TakeController, TakePressure } from '../notation/midi-file/take.ts';
import { type WritableNote, writeTake } from '../notation/midi-file/take-writer.ts';
import { eventsOf } from '../record/entry.ts';
import { counted } from '../wording/counted.ts';
import { wholeNumber } from './number-argument.ts';
import { print } from './print.ts';
import type { RecordOptions } from './record-place.ts';
import { openReader } from './record-reading.ts';
import { usage } from './usage-problem.ts';
import { writeWhole } from './written-file.ts';

export interface RecordTakeOptions extends RecordOptions {
  readonly out?: string;
  readonly force?: boolean;
}

export async function recordTake(text: string, options: RecordTakeOptions): Promise<void> {
  const { out, force } = options;
  const number =
    text === 'last' ? undefined : wholeNumber(text, 'the take', { least: 1, most: Number.MAX_SAFE_INTEGER });
  if (out !== undefined && existsSync(out) && !force)
    throw usage(
      'record.exists',
      `Cannot write "${out}": it is there already`,
      'Add --force to write over it.',
    );
  const record = await openReader(options);
  try {
    const found = await record.take(number);
    if (!found) {
      throw usage(
        'record.take',
        `Cannot find take ${text}: the record has ${counted((await record.counts()).takes, 'take')}`,
        'fettle record export FILE.csv lists them with their numbers.',
      );
    }
    const { entry } = found;
    print(
      `take ${found.number}, ${entry.date.slice(0, 16).replace('T', ' ')}: ${entry.passage}, onsets ${entry.first} to ${entry.last}, ${entry.drill}: ${entry.stepName}, ${entry.tempoBpm} a minute`,
    );
    print(`${entry.clean ? '+' : 'x'} ${entry.sentence}`);
    if (out === undefined) return;
    const shift = entry.playing?.terms.shiftSemitones ?? 0;
    const { notes, controllers, pressures } = playedFrom(eventsOf(entry), shift);
    writeWhole(out, writeTake(notes, controllers, pressures));
    print(`${notes.length} notes in ${out}.`);
  } finally {
    await record.close();
  }
}

/** Notes, controllers and pressure from the take's first event on, at the pitches that were judged. */
function playedFrom(
  events: readonly PlayerEvent[],
  shift: number,
): { notes: WritableNote[]; controllers: TakeController[]; pressures: TakePressure[] } {
  const zero = Math.min(...events.map(({ at }) => at));
  const controllers: TakeController[] = [];
  const pressures: TakePressure[] = [];
  const notes: { -readonly [K in keyof WritableNote]: WritableNote[K] }[] = [];
  for (const event of events) {
    const at = event.at - zero;
    if (event.type === 'controller')
      controllers.push({
        number: event.number,
        value: event.value,
        atMicros: at,
        channel: midiChannel(event),
      });
    if (event.type === 'other' && isPressure(event.bytes))
      pressures.push({ bytes: event.bytes, atMicros: at });
    if (event.type === 'note-on') {
      const { velocity } = event;
      notes.push({ pitch: event.pitch + shift, onMicros: at, velocity, channel: midiChannel(event) });
    }
    if (event.type === 'note-off') {
      const sounding = notes.find(
        ({ pitch, offMicros }) => pitch === event.pitch + shift && offMicros === undefined,
      );
      if (sounding) sounding.offMicros = at;
    }
  }
  return { notes, controllers, pressures };
}

/** Of a channel or of a key (MIDI 1.0, table of status bytes). */
function isPressure([status = 0]: readonly number[]): boolean {
  return (status & 0xf0) === 0xd0 || (status & 0xf0) === 0xa0;
}

/** Simulated players of format 1 sent channel 0. */
function midiChannel({ channel }: { readonly channel: number }): number {
  return Math.max(1, channel);
}
