// Lays out a Standard MIDI File: chunks, delta times, events with their status (no running status, which every reader
// understands), the end of each track. Our own because the library at hand takes 2.6 s for 5,000 notes and writes no
// end of track; it reads what is written here in the tests. Source: RP-001.

/** An event's bytes after its delta time. `rank` orders events of one tick: lower first. */
export interface TimedBytes {
  readonly tick: number;
  readonly rank: number;
  readonly bytes: readonly number[];
}

/** `trackLists`: one list of events for each track, in any order; the end of track stands at `endTick` or later. */
export function layOutMidiFile(
  format: 0 | 1,
  ticksPerQuarter: number,
  trackLists: readonly (readonly TimedBytes[])[],
  endTick: number,
): Uint8Array {
  const chunks = [
    chunk('MThd', [...word(format), ...word(trackLists.length), ...word(ticksPerQuarter)]),
    ...trackLists.map((events) => chunk('MTrk', trackBytes(events, endTick))),
  ];
  const bytes = new Uint8Array(chunks.reduce((sum, c) => sum + c.length, 0));
  let offset = 0;
  for (const c of chunks) {
    bytes.set(c, offset);
    offset += c.length;
  }
  return bytes;
}

/** The rank of everything about a tick, in the order in which it must be read. */
export const RANK = { meta: 0, program: 1, controller: 2, release: 3, onset: 4, emptyRelease: 5 } as const;

export function noteOnBytes(channel: number, pitch: number, velocity: number): number[] {
  return [0x90 | (channel - 1), pitch, velocity];
}

/** Release velocity 64, the one to send where none is known. */
export function noteOffBytes(channel: number, pitch: number): number[] {
  return [0x80 | (channel - 1), pitch, 64];
}

export function controllerBytes(channel: number, number: number, value: number): number[] {
  return [0xb0 | (channel - 1), number, value];
}

/** Of a key where a pitch is given, else of the channel. */
export function pressureBytes({
  channel,
  pitch,
  value,
}: {
  readonly channel: number;
  readonly pitch?: number;
  readonly value: number;
}): number[] {
  return pitch === undefined ? [0xd0 | (channel - 1), value] : [0xa0 | (channel - 1), pitch, value];
}

export function programBytes(channel: number, program: number): number[] {
  return [0xc0 | (channel - 1), program];
}

export function metaBytes(kind: number, data: readonly number[]): number[] {
  return [0xff, kind, ...quantityBytes(data.length), ...data];
}

/** Text in UTF-8. */
export function textBytes(kind: number, text: string): number[] {
  return metaBytes(kind, [...new TextEncoder().encode(text)]);
}

export function tempoBytes(microsPerQuarter: number): number[] {
  const [, ...three] = long(microsPerQuarter);
  return metaBytes(0x51, three);
}

/** A variable-length quantity, 0 to 0FFFFFFF. */
export function quantityBytes(value: number): number[] {
  if (!Number.isInteger(value) || value < 0 || value > 0x0fffffff) {
    throw new RangeError(`Cannot write ${value} as a variable-length quantity: 0 to 268435455`);
  }
  const bytes = [value & 0x7f];
  for (let left = value >> 7; left > 0; left >>= 7) bytes.unshift((left & 0x7f) | 0x80);
  return bytes;
}

function trackBytes(events: readonly TimedBytes[], endTick: number): number[] {
  const bytes: number[] = [];
  let tick = 0;
  for (const event of [...events].sort((a, b) => a.tick - b.tick || a.rank - b.rank)) {
    bytes.push(...quantityBytes(event.tick - tick), ...event.bytes);
    tick = event.tick;
  }
  bytes.push(...quantityBytes(Math.max(0, endTick - tick)), ...metaBytes(0x2f, []));
  return bytes;
}

function chunk(type: string, data: readonly number[]): Uint8Array {
  const head = [...type].map((letter) => letter.charCodeAt(0));
  const bytes = new Uint8Array(8 + data.length);
  bytes.set([...head, ...long(data.length)]);
  bytes.set(data, 8);
  return bytes;
}

function word(value: number): number[] {
  return [(value >> 8) & 0xff, value & 0xff];
}

function long(value: number): number[] {
  return [(value >>> 24) & 0xff, (value >>> 16) & 0xff, (value >>> 8) & 0xff, value & 0xff];
}
