// A take's raw events as one compact column: about five bytes a note instead of eighty. Format 1, one byte, then event
// after event: the time since the event before (microseconds, zigzag, base-128 varint; the first counts from 0), a kind
// byte, then its fields, small numbers as varints and texts as a length and UTF-8. read(write(events)) equals events.

import type { PlayerEvent } from '../music/player-event.ts';

const FORMAT = 1;
const KINDS = ['note-on', 'note-off', 'controller', 'other', 'lost', 'found', 'ended'] as const;

export function writeEvents(events: readonly PlayerEvent[]): Uint8Array {
  const bytes: number[] = [FORMAT];
  let last = 0;
  for (const event of events) {
    const step = event.at - last;
    last = event.at;
    writeNumber(bytes, step < 0 ? -2 * step - 1 : 2 * step);
    bytes.push(KINDS.indexOf(event.type));
    switch (event.type) {
      case 'note-on':
        bytes.push(event.pitch, event.velocity, event.channel);
        break;
      case 'note-off':
        bytes.push(event.pitch, event.channel);
        break;
      case 'controller':
        bytes.push(event.number, event.value, event.channel);
        break;
      case 'other':
        writeNumber(bytes, event.bytes.length);
        bytes.push(...event.bytes);
        break;
      case 'lost': {
        const text = new TextEncoder().encode(event.reason);
        writeNumber(bytes, text.length);
        bytes.push(...text);
        break;
      }
    }
  }
  return Uint8Array.from(bytes);
}

/** Throws an Error that says where on bytes that writeEvents did not write. */
export function readEvents(bytes: Uint8Array): PlayerEvent[] {
  if (bytes[0] !== FORMAT) throw new Error(`event bytes of format ${bytes[0]}, known is ${FORMAT}`);
  const reader = new Reader(bytes);
  const events: PlayerEvent[] = [];
  let at = 0;
  while (!reader.done) {
    const step = reader.number();
    at += step % 2 === 0 ? step / 2 : -(step + 1) / 2;
    events.push(readEvent(reader, at));
  }
  return events;
}

function readEvent(reader: Reader, at: number): PlayerEvent {
  const kind = KINDS[reader.byte()];
  switch (kind) {
    case 'note-on':
      return {
        type: kind,
        at,
        pitch: reader.byte(),
        velocity: reader.byte(),
        channel: reader.byte(),
      };
    case 'note-off':
      return { type: kind, at, pitch: reader.byte(), channel: reader.byte() };
    case 'controller':
      return { type: kind, at, number: reader.byte(), value: reader.byte(), channel: reader.byte() };
    case 'other':
      return { type: kind, at, bytes: [...reader.slice(reader.number())] };
    case 'lost':
      return { type: kind, at, reason: new TextDecoder().decode(reader.slice(reader.number())) };
    case 'found':
    case 'ended':
      return { type: kind, at };
    default:
      throw new Error(`event bytes hold an unknown kind before byte ${reader.place}`);
  }
}

class Reader {
  readonly #bytes: Uint8Array;
  place = 1;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
  }

  get done(): boolean {
    return this.place >= this.#bytes.length;
  }

  byte(): number {
    const byte = this.#bytes[this.place];
    if (byte === undefined)
      throw new Error(`event bytes end in the middle of an event at byte ${this.place}`);
    this.place += 1;
    return byte;
  }

  /** Beyond 32 bits: times of a machine that has been up for long; plain arithmetic, no bit operators. */
  number(): number {
    let value = 0;
    for (let weight = 1; ; weight *= 128) {
      const byte = this.byte();
      value += (byte % 128) * weight;
      if (byte < 128) return value;
    }
  }

  slice(length: number): Uint8Array {
    if (this.place + length > this.#bytes.length) {
      throw new Error(`event bytes end in the middle of an event at byte ${this.place}`);
    }
    this.place += length;
    return this.#bytes.subarray(this.place - length, this.place);
  }
}

function writeNumber(bytes: number[], value: number): void {
  let left = value;
  while (left >= 128) {
    bytes.push((left % 128) + 128);
    left = Math.floor(left / 128);
  }
  bytes.push(left);
}
