// The bytes of a Standard MIDI File, read strictly: nothing is ever read past an end, and every fault knows its byte.
// Places count from 0, as hex editors do.
// Source: Standard MIDI Files 1.0, RP-001.

import { EXIT, type Problem } from '../../problem.ts';

/** Thrown inside the readers of this folder only; readMidiEvents turns it into a Problem. */
export class MidiFault extends Error {
  readonly problem: Problem;
  constructor(code: string, message: string, offset: number, hint?: string) {
    super(message);
    this.name = 'MidiFault';
    this.problem = {
      code,
      message: `Cannot read the MIDI file: byte ${offset}: ${message}`,
      ...(hint === undefined ? {} : { hint }),
      exitStatus: EXIT.unreadable,
      place: { byte: offset },
    };
  }
}

export const CUT_SHORT_HINT = 'the file is cut short or damaged: copy or export it again';

/** A cursor over [start, end) of a file; `what` names that stretch in messages. */
export class ByteCursor {
  offset: number;
  readonly bytes: Uint8Array;
  readonly end: number;
  readonly what: string;

  constructor(bytes: Uint8Array, start: number, end: number, what: string) {
    this.bytes = bytes;
    this.offset = start;
    this.end = end;
    this.what = what;
  }

  get left(): number {
    return this.end - this.offset;
  }

  need(count: number, thing: string): void {
    if (this.left >= count) return;
    throw new MidiFault(
      'midi.truncated',
      `${this.what} ends inside ${thing} (${count} ${count === 1 ? 'byte' : 'bytes'} needed, ${this.left} left)`,
      this.end,
      CUT_SHORT_HINT,
    );
  }

  peek(thing: string): number {
    this.need(1, thing);
    return this.bytes[this.offset]!;
  }

  byte(thing: string): number {
    const value = this.peek(thing);
    this.offset++;
    return value;
  }

  /** A byte with its high bit clear. */
  dataByte(thing: string): number {
    const value = this.byte(thing);
    if (value > 0x7f) {
      throw new MidiFault(
        'midi.bad-data-byte',
        `found ${hex(value)} inside ${thing}, a data byte is 00 to 7F`,
        this.offset - 1,
        CUT_SHORT_HINT,
      );
    }
    return value;
  }

  /** Big-endian. */
  unsigned(count: number, thing: string): number {
    this.need(count, thing);
    let value = 0;
    for (let i = 0; i < count; i++) value = value * 256 + this.bytes[this.offset++]!;
    return value;
  }

  take(count: number, thing: string): Uint8Array {
    this.need(count, thing);
    this.offset += count;
    return this.bytes.subarray(this.offset - count, this.offset);
  }

  /** A variable-length quantity: seven bits a byte, at most four bytes, at most 0FFFFFFF. */
  quantity(thing: string): number {
    const start = this.offset;
    let value = 0;
    for (let i = 0; i < 4; i++) {
      const byte = this.byte(thing);
      value = value * 128 + (byte & 0x7f);
      if (byte < 0x80) return value;
    }
    throw new MidiFault(
      'midi.bad-quantity',
      `${thing} is longer than four bytes`,
      start,
      'the file is damaged: copy or export it again',
    );
  }

  /** The four letters of a chunk's type; other bytes show as '?'. */
  chunkType(): string {
    return String.fromCharCode(...this.take(4, 'a chunk type')).replace(/[^ -~]/g, '?');
  }
}

/** @example hex(10) // '0A' */
export function hex(value: number): string {
  return value.toString(16).toUpperCase().padStart(2, '0');
}

/** The text of a meta event: UTF-8 where it is valid, Latin-1 where it is not; the standard only promises ASCII. */
export function metaText(bytes: Uint8Array): string {
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    text = new TextDecoder('latin1').decode(bytes);
  }
  return text.replace(/[\u0000-\u001f\u007f-\u009f]+/g, ' ').trim();
}
