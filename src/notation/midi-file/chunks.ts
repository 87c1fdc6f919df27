// The chunks of a Standard MIDI File: one header, then tracks. Chunks of other types are skipped and told, as the
// standard asks; a RIFF wrapper (RMID) is opened. A chunk that claims more bytes than there are is a fault: a
// shortened file is never read as a whole one. Source: Standard MIDI Files 1.0, RP-001.

import type { Issue } from '../reading.ts';
import { ByteCursor, CUT_SHORT_HINT, hex, MidiFault } from './bytes.ts';

/** Metrical: ticks to the quarter note. Timecode: frames to the second, ticks to the frame. */
export type MidiDivision =
  | { readonly kind: 'metrical'; readonly ticksPerQuarter: number }
  | { readonly kind: 'timecode'; readonly framesPerSecond: number; readonly ticksPerFrame: number };

export type MidiFormat = 0 | 1 | 2;

export interface MidiChunks {
  readonly format: MidiFormat;
  readonly division: MidiDivision;
  /** [start, end) of each track's events, in the file's own offsets. */
  readonly tracks: readonly { readonly start: number; readonly end: number }[];
  readonly issues: readonly Issue[];
}

/** 29 stands for 30 drop-frame: 30000/1001 frames a second. */
const FRAME_RATES: Readonly<Record<number, number>> = { 24: 24, 25: 25, 29: 30000 / 1001, 30: 30 };

/** Throws a MidiFault. */
export function readChunks(bytes: Uint8Array): MidiChunks {
  const issues: Issue[] = [];
  const body = openRiff(bytes) ?? { start: 0, end: bytes.length };
  const cursor = new ByteCursor(bytes, body.start, body.end, 'the file');
  const header = readHeader(cursor, issues);
  const tracks: { start: number; end: number }[] = [];
  while (cursor.left >= 8) {
    const at = cursor.offset;
    const type = cursor.chunkType();
    const length = cursor.unsigned(4, 'a chunk length');
    if (length > cursor.left) {
      if (type !== 'MTrk' && tracks.length >= header.trackCount) {
        issues.push(skipped(`${cursor.end - at} bytes after the last track, which are no chunk`, at));
        cursor.offset = cursor.end;
        break;
      }
      throw new MidiFault(
        'midi.truncated',
        `the chunk "${type}" claims ${length} bytes, the file has ${cursor.left} more`,
        at,
        CUT_SHORT_HINT,
      );
    }
    if (type === 'MTrk') tracks.push({ start: cursor.offset, end: cursor.offset + length });
    else issues.push(skipped(`a chunk "${type}" of ${length} bytes`, at));
    cursor.offset += length;
  }
  if (cursor.left > 0) {
    issues.push(skipped(`${cursor.left} bytes after the last track, which are no chunk`, cursor.offset));
  }
  countTracks(tracks.length, header, cursor, issues);
  return { format: header.format, division: header.division, tracks, issues };
}

function skipped(what: string, offset: number): Issue {
  return {
    code: 'midi.skipped-chunk',
    message: `left out ${what}`,
    severity: 'warning',
    place: { byte: offset },
  };
}

interface Header {
  readonly format: MidiFormat;
  readonly trackCount: number;
  readonly division: MidiDivision;
}

function readHeader(cursor: ByteCursor, issues: Issue[]): Header {
  const at = cursor.offset;
  if (cursor.left === 0) throw new MidiFault('midi.empty', 'the file is empty', at);
  const signature = String.fromCharCode(...cursor.bytes.subarray(at, Math.min(at + 4, cursor.end)));
  if (signature !== 'MThd') {
    throw new MidiFault(
      'midi.not-a-midi-file',
      'the file does not begin with "MThd", so it is no Standard MIDI File',
      at,
      'check that the file is what its name says; ABC and MusicXML are read by their own endings (.abc, .musicxml, .mxl)',
    );
  }
  cursor.offset += 4;
  const length = cursor.unsigned(4, 'the header length');
  if (length < 6) {
    throw new MidiFault(
      'midi.short-header',
      `the header has ${length} bytes, it needs 6`,
      at,
      CUT_SHORT_HINT,
    );
  }
  cursor.need(length, 'the header');
  const format = cursor.unsigned(2, 'the header');
  const trackCount = cursor.unsigned(2, 'the header');
  const divisionAt = cursor.offset;
  const division = readDivision(cursor.unsigned(2, 'the header'), divisionAt);
  if (format !== 0 && format !== 1 && format !== 2) {
    throw new MidiFault(
      'midi.unknown-format',
      `found format ${format}, a Standard MIDI File has format 0, 1 or 2`,
      at + 8,
    );
  }
  if (length > 6) {
    issues.push(skipped(`${length - 6} more bytes of a longer header`, cursor.offset));
    cursor.offset += length - 6;
  }
  return { format, trackCount, division };
}

function readDivision(word: number, offset: number): MidiDivision {
  if (word < 0x8000) {
    if (word === 0)
      throw new MidiFault('midi.bad-division', 'the division is 0 ticks to the quarter note', offset);
    return { kind: 'metrical', ticksPerQuarter: word };
  }
  const frames = 256 - (word >> 8);
  const ticksPerFrame = word & 0xff;
  const framesPerSecond = FRAME_RATES[frames];
  if (framesPerSecond === undefined || ticksPerFrame === 0) {
    throw new MidiFault(
      'midi.bad-division',
      `the division ${hex(word >> 8)} ${hex(ticksPerFrame)} is no time code: 24, 25, 29 or 30 frames a second, 1 to 255 ticks a frame`,
      offset,
    );
  }
  return { kind: 'timecode', framesPerSecond, ticksPerFrame };
}

function countTracks(found: number, header: Header, cursor: ByteCursor, issues: Issue[]): void {
  if (found < header.trackCount) {
    throw new MidiFault(
      'midi.truncated',
      `the header promises ${tracksWord(header.trackCount)}, the file has ${found}`,
      cursor.end,
      CUT_SHORT_HINT,
    );
  }
  if (found === 0) throw new MidiFault('midi.no-track', 'the file has no track', cursor.end);
  const allowed = header.format === 0 ? 1 : header.trackCount;
  if (found > allowed) {
    issues.push({
      code: 'midi.track-count',
      message:
        header.format === 0 && header.trackCount === found
          ? `a file of format 0 has one track, this one has ${found}: all were read, as in format 1`
          : `the header promises ${tracksWord(header.trackCount)}, the file has ${found}: all were read`,
      severity: 'warning',
    });
  }
}

function tracksWord(count: number): string {
  return count === 1 ? '1 track' : `${count} tracks`;
}

/** The MIDI file inside a RIFF file of type RMID: its 'data' chunk. RIFF lengths are little-endian, chunks even. */
function openRiff(bytes: Uint8Array): { start: number; end: number } | undefined {
  const tag = (at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));
  if (tag(0) !== 'RIFF') return undefined;
  if (bytes.length >= 12 && tag(8) !== 'RMID') {
    throw new MidiFault('midi.not-a-midi-file', `a RIFF file of type "${tag(8)}" holds no MIDI file`, 8);
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = 12;
  while (at + 8 <= bytes.length) {
    const length = view.getUint32(at + 4, true);
    const start = at + 8;
    if (tag(at) === 'data') {
      if (start + length > bytes.length) {
        throw new MidiFault(
          'midi.truncated',
          `the RIFF chunk "data" claims ${length} bytes, the file has ${bytes.length - start} more`,
          at,
          CUT_SHORT_HINT,
        );
      }
      return { start, end: start + length };
    }
    at = start + length + (length % 2);
  }
  throw new MidiFault(
    'midi.truncated',
    'the RIFF file ends before its "data" chunk',
    bytes.length,
    CUT_SHORT_HINT,
  );
}
