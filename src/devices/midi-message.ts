// Live MIDI bytes to what a player did, and back. MIDI 1.0: status bytes have the top bit set; note-on with velocity 0
// is a release; real-time bytes (F8 to FF) may stand between any two bytes and leave running status alone, system
// common and system exclusive bytes cancel it. Channels count from 1 to 16, as players and front panels count them.

import type { PlayerEvent } from '../music/player-event.ts';

export const TIMING_CLOCK = 0xf8;
export const START = 0xfa;
export const CONTINUE = 0xfb;
export const STOP = 0xfc;
export const ACTIVE_SENSING = 0xfe;

/** Controller number of MIDI 1.0. */
export const ALL_NOTES_OFF_CONTROLLER = 123;

/** One complete message, status byte first, as a driver delivers it. */
export function readMessage(bytes: readonly number[], at: number): PlayerEvent {
  const status = bytes[0] ?? 0;
  const first = bytes[1];
  const second = bytes[2];
  const channel = (status & 0x0f) + 1;
  if (isData(first) && isData(second)) {
    switch (status & 0xf0) {
      case 0x80:
        return { type: 'note-off', at, pitch: first, channel };
      case 0x90:
        return second === 0
          ? { type: 'note-off', at, pitch: first, channel }
          : { type: 'note-on', at, pitch: first, velocity: second, channel };
      case 0xb0:
        return { type: 'controller', at, number: first, value: second, channel };
    }
  }
  return { type: 'other', at, bytes };
}

/** The channel of a channel message, 1 to 16; undefined for system messages, which have none. */
export function channelOf(bytes: readonly number[]): number | undefined {
  const status = bytes[0] ?? 0;
  return status >= 0x80 && status < 0xf0 ? (status & 0x0f) + 1 : undefined;
}

/** Cuts a stream of bytes into messages with their status bytes written out. Never throws: stray data is dropped. */
export class MidiByteStream {
  #status = 0;
  #pending: number[] = [];
  #exclusive: number[] | undefined;

  /** Messages completed by these bytes, in the order in which they were completed. */
  feed(bytes: Iterable<number>): number[][] {
    const messages: number[][] = [];
    for (const byte of bytes) {
      const message = this.#take(byte);
      if (message) messages.push(message);
    }
    return messages;
  }

  #take(byte: number): number[] | undefined {
    if (byte >= TIMING_CLOCK) return [byte];
    if (byte >= 0x80) return this.#takeStatus(byte);
    if (this.#exclusive) {
      this.#exclusive.push(byte);
      return undefined;
    }
    if (this.#status === 0) return undefined;
    this.#pending.push(byte);
    if (this.#pending.length < dataBytes(this.#status)) return undefined;
    const message = [this.#status, ...this.#pending];
    this.#pending = [];
    if (this.#status >= 0xf0) this.#status = 0;
    return message;
  }

  #takeStatus(byte: number): number[] | undefined {
    const exclusive = this.#exclusive;
    this.#exclusive = undefined;
    this.#pending = [];
    this.#status = 0;
    if (byte === 0xf7) return exclusive && [...exclusive, byte];
    if (byte === 0xf0) this.#exclusive = [byte];
    else if (dataBytes(byte) === 0) return [byte];
    else this.#status = byte;
    return undefined;
  }
}

/** How many data bytes follow a status byte below F8 (MIDI 1.0, table of status bytes). */
function dataBytes(status: number): number {
  if (status < 0xf0) return (status & 0xe0) === 0xc0 ? 1 : 2;
  if (status === 0xf2) return 2;
  return status === 0xf1 || status === 0xf3 ? 1 : 0;
}

function isData(byte: number | undefined): byte is number {
  return byte !== undefined && byte < 0x80;
}
