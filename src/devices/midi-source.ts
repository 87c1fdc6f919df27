// A MIDI instrument as a player: one input, one channel or all of them, sounding pitches. Everything that was sent is
// reported, controllers and the rest for the raw record; active sensing and timing clock are not part of what was
// played and are left out. Stamps come from the driver's deltas (midi-stamps.ts).

import type { PlayerEvent } from '../music/player-event.ts';
import type { PlayerSource } from '../ports/player-source.ts';
import { ok, type Result } from '../problem.ts';
import { type HostedInput, openHostedInput } from './input-host.ts';
import type { InputReport } from './input-keeper.ts';
import { channelOf, readMessage, TIMING_CLOCK } from './midi-message.ts';
import { choosePort } from './midi-ports.ts';
import { SystemClock } from './system-clock.ts';

export interface MidiSourceSettings {
  /** 1 to 16; all channels without it. */
  readonly channel?: number;
  /** Added to every pitch that comes in, semitones: an instrument set to another octave, or one that sends written pitches. */
  readonly shiftSemitones?: number;
  /** Timing clock, start, continue and stop go here instead, when given (midi-clock.ts). */
  readonly onClock?: (byte: number, at: number) => void;
}

/**
 * Opens the input of that name (or of which that is a part). It listens from here on; events before start() are
 * dropped. Problems: 'midi.none', 'port.none', 'port.unknown', 'port.ambiguous', 'port.busy'.
 */
export async function openMidiSource(
  wanted: string,
  settings: MidiSourceSettings = {},
): Promise<Result<MidiSource>> {
  const port = await choosePort(wanted, 'input');
  if (!port.ok) return port;
  const source = new MidiSource(port.value.name, settings);
  const input = await openHostedInput(port.value.raw, (report) => source.hear(report));
  if (!input.ok) return input;
  source.holds(input.value);
  return ok(source);
}

export class MidiSource implements PlayerSource {
  readonly name: string;
  readonly #settings: MidiSourceSettings;
  readonly #clock = new SystemClock();
  #report: ((event: PlayerEvent) => void) | undefined;
  #input: HostedInput | undefined;
  /** Events stamped a few milliseconds ahead wait here, so that nothing is heard before it happened. */
  #waiting: PlayerEvent[] = [];

  constructor(name: string, settings: MidiSourceSettings) {
    this.name = name;
    this.#settings = settings;
  }

  get shiftSemitones(): number {
    return this.#settings.shiftSemitones ?? 0;
  }

  holds(input: HostedInput): void {
    this.#input = input;
  }

  start(report: (event: PlayerEvent) => void): void {
    this.#report = report;
  }

  /** What the input worker tells, in order. */
  hear(heard: InputReport): void {
    const event = this.#eventOf(heard);
    if (!event) return;
    this.#waiting.push(event);
    if (this.#waiting.length === 1) this.#deliver();
  }

  prompt(): void {}

  hush(): void {}

  async close(): Promise<void> {
    this.#report = undefined;
    this.#waiting = [];
    const input = this.#input;
    this.#input = undefined;
    await input?.close();
  }

  #eventOf(heard: InputReport): PlayerEvent | undefined {
    if (heard.type === 'lost') return { type: 'lost', at: heard.at, reason: heard.reason };
    if (heard.type === 'found') return { type: 'found', at: heard.at };
    const { channel, shiftSemitones = 0, onClock } = this.#settings;
    const status = heard.bytes[0] ?? 0;
    if (status >= TIMING_CLOCK && onClock) {
      onClock(status, heard.at);
      return undefined;
    }
    if (status === TIMING_CLOCK) return undefined;
    const own = channelOf(heard.bytes);
    if (channel !== undefined && own !== undefined && own !== channel) return undefined;
    return shiftPitch(readMessage(heard.bytes, heard.at), shiftSemitones, heard.bytes);
  }

  #deliver(): void {
    for (let event = this.#waiting[0]; event; event = this.#waiting[0]) {
      if (event.at > this.#clock.nowMicros()) {
        this.#clock.wakeAt(event.at, () => this.#deliver());
        return;
      }
      this.#waiting.shift();
      this.#report?.(event);
    }
  }
}

/** A pitch that the shift takes out of 0 to 127 is no note any more; it stays in the raw record. */
function shiftPitch(event: PlayerEvent, semitones: number, bytes: readonly number[]): PlayerEvent {
  if (event.type !== 'note-on' && event.type !== 'note-off') return event;
  const pitch = event.pitch + semitones;
  return pitch >= 0 && pitch <= 127 ? { ...event, pitch } : { type: 'other', at: event.at, bytes };
}
