// One input that several players share, by channel or by a range of keys: a source for each. What concerns the input as
// a whole (lost, found, ended) reaches all of them. A keyboard that sends every note on two channels at once (layers, a
// local zone) is heard once.

import type { PlayerEvent } from '../music/player-event.ts';
import { reaches, type Seat } from '../music/seat.ts';
import { microsAt } from '../music/timing.ts';
import type { PlayerSource, Prompt } from '../ports/player-source.ts';

/** The same key on another channel within so long is the same stroke: a note on a DIN cable takes 1 ms. */
const SAME_STROKE_MICROS = 5_000;

export interface SharedSeat extends Seat {
  /** Semitones to add to what this player sends. */
  readonly shiftSemitones?: number;
}

/** The input is started with the first of its players and closed with the last. */
export function sharedInput(source: PlayerSource, seats: readonly SharedSeat[]): PlayerSource[] {
  const reports: (((event: PlayerEvent) => void) | undefined)[] = seats.map(() => undefined);
  const doubles = seats.map(() => new DoubledStrokes());
  let started = false;
  let open = seats.length;
  let prompts: Prompt[] = [];

  const hear = (event: PlayerEvent): void => {
    seats.forEach((seat, i) => {
      if (!reaches(event, seat) || doubles[i]!.isEcho(event)) return;
      const moved = shifted(event, seat.shiftSemitones ?? 0);
      if (moved) reports[i]?.(moved);
    });
  };

  return seats.map((seat, i) => ({
    name: source.name,
    ...(source.shiftSemitones === undefined && seat.shiftSemitones === undefined
      ? {}
      : { shiftSemitones: (source.shiftSemitones ?? 0) + (seat.shiftSemitones ?? 0) }),
    start(report) {
      reports[i] = report;
      if (started) return;
      started = true;
      source.start(hear);
    },
    ...(source.press ? { press: (key) => source.press?.(key) ?? false } : {}),
    /** All are told of one take; the input is told once, of whoever begins. */
    prompt(prompt) {
      prompts.push(prompt);
      if (prompts.length < seats.length) return;
      source.prompt(earliest(prompts));
      prompts = [];
    },
    hush(atMicros) {
      source.hush(atMicros);
    },
    async close() {
      reports[i] = undefined;
      open -= 1;
      if (open === 0) await source.close();
    },
    onNews(tell) {
      doubles[i]!.onSeen = ([one, other]) =>
        tell(`${source.name} sends every note on channel ${one} and on channel ${other}: it is heard once.`);
    },
  }));
}

function earliest(prompts: readonly Prompt[]): Prompt {
  const begin = ({ run, line, zeroMicros }: Prompt) =>
    line.onsets[0] ? zeroMicros + microsAt(run, line.onsets[0].tick) : Number.POSITIVE_INFINITY;
  return prompts.reduce((first, prompt) => (begin(prompt) < begin(first) ? prompt : first));
}

/** A pitch that the shift takes out of 0 to 127 is no note any more. */
function shifted(event: PlayerEvent, semitones: number): PlayerEvent | undefined {
  if (semitones === 0 || (event.type !== 'note-on' && event.type !== 'note-off')) return event;
  const pitch = event.pitch + semitones;
  return pitch >= 0 && pitch <= 127 ? { ...event, pitch } : undefined;
}

/** Which channel sounds a key, and which only repeats it. */
class DoubledStrokes {
  onSeen: ((channels: readonly [number, number]) => void) | undefined;
  /** By pitch: the last stroke that was heard. */
  readonly #strokes = new Map<number, { readonly channel: number; readonly at: number }>();
  /** Pitch and channel of echoes that are still held. */
  readonly #echoes = new Set<string>();
  #told = false;

  isEcho(event: PlayerEvent): boolean {
    if (event.type !== 'note-on' && event.type !== 'note-off') return false;
    const { pitch, channel, at } = event;
    const key = `${channel}/${pitch}`;
    if (event.type === 'note-off') return this.#echoes.delete(key);
    const stroke = this.#strokes.get(pitch);
    if (stroke && stroke.channel !== channel && Math.abs(at - stroke.at) <= SAME_STROKE_MICROS) {
      this.#echoes.add(key);
      if (!this.#told) {
        this.#told = true;
        this.onSeen?.([stroke.channel, channel]);
      }
      return true;
    }
    this.#echoes.delete(key);
    this.#strokes.set(pitch, { channel, at });
    return false;
  }
}
