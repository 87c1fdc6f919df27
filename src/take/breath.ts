// Breath: what a wind controller sends while a note sounds, as it is stamped. Breath controller (2), channel pressure or
// expression (11), MIDI 1.0; whichever moves with the notes. A pedal or a hand that leans on the keys does not.

import type { PlayedNote } from '../music/played-note.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import { weightedMedian } from '../statistics.ts';

/** One value of one stream, 0 to 127, in force until the next. */
interface BreathChange {
  readonly atMicros: number;
  readonly value: number;
}

const BREATH_CONTROLLER = 2;
const EXPRESSION_CONTROLLER = 11;
const CHANNEL_PRESSURE = 0xd0;

/** A stream is breath where it sounds in and moves within most notes. */
const MOST_NOTES = 0.75;
/** A tongued note's first breath may come a little before it. */
const BEFORE_MICROS = 50_000;

/**
 * How strongly each note was blown, 0 to 127: the median of its breath over its length. Undefined where the instrument
 * sends no breath. `notes` by time.
 */
export function breathLevels(
  notes: readonly PlayedNote[],
  events: readonly PlayerEvent[],
): readonly number[] | undefined {
  if (notes.length === 0) return undefined;
  for (const stream of streamsOf(events)) {
    const levels = levelsOn(stream, notes);
    if (levels) return levels;
  }
  return undefined;
}

/** In the order in which they are believed. */
function streamsOf(events: readonly PlayerEvent[]): BreathChange[][] {
  const breath: BreathChange[] = [];
  const pressure: BreathChange[] = [];
  const expression: BreathChange[] = [];
  for (const event of events) {
    const atMicros = event.at;
    if (event.type === 'controller' && event.number === BREATH_CONTROLLER)
      breath.push({ atMicros, value: event.value });
    if (event.type === 'controller' && event.number === EXPRESSION_CONTROLLER)
      expression.push({ atMicros, value: event.value });
    if (
      event.type === 'other' &&
      (event.bytes[0]! & 0xf0) === CHANNEL_PRESSURE &&
      event.bytes[1] !== undefined
    )
      pressure.push({ atMicros, value: event.bytes[1] });
  }
  return [breath, pressure, expression].filter((stream) => stream.length > 0);
}

function levelsOn(stream: readonly BreathChange[], notes: readonly PlayedNote[]): number[] | undefined {
  const levels: number[] = [];
  let moved = 0;
  let from = 0;
  for (const [i, { onMicros, offMicros = Number.POSITIVE_INFINITY }] of notes.entries()) {
    const end = Math.min(offMicros, notes[i + 1]?.onMicros ?? Number.POSITIVE_INFINITY);
    while (from + 1 < stream.length && stream[from + 1]!.atMicros <= onMicros) from++;
    const within: { value: number; weight: number }[] = [];
    let last = Number.NEGATIVE_INFINITY;
    for (let k = from; k < stream.length && stream[k]!.atMicros < end; k++) {
      const { atMicros, value } = stream[k]!;
      const since = Math.max(onMicros, atMicros);
      const until = Math.min(end, stream[k + 1]?.atMicros ?? end, since + LONGEST_MICROS);
      within.push({ value, weight: until - since });
      last = atMicros;
    }
    if (last > onMicros - BEFORE_MICROS) moved++;
    levels.push(within.length === 0 ? 0 : weightedMedian(within));
  }
  const sounding = levels.filter((level) => level > 0).length;
  const least = MOST_NOTES * notes.length;
  return sounding >= least && moved >= least ? levels : undefined;
}

/** The last value stays in force without end, and must not count for more because of that. */
const LONGEST_MICROS = 5_000_000;
