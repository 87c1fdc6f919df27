// The events of one track chunk, with running status. A note-on of velocity 0 stays a note-on here; pairing.ts takes it
// for a release. Source: Standard MIDI Files 1.0, RP-001.

import type { Issue } from '../reading.ts';
import { ByteCursor, hex, MidiFault, metaText } from './bytes.ts';

interface Placed {
  /** From the start of the track, in the file's own ticks. */
  readonly tick: number;
}

/** `channel` is 1 to 16, as players and manuals count. */
export type MidiTrackEvent = Placed &
  (
    | {
        readonly type: 'note-on' | 'note-off';
        readonly channel: number;
        readonly pitch: number;
        readonly velocity: number;
      }
    | {
        readonly type: 'controller';
        readonly channel: number;
        readonly number: number;
        readonly value: number;
      }
    | { readonly type: 'program'; readonly channel: number; readonly program: number }
    /** -8192 to 8191, 0 = centre. */
    | { readonly type: 'bend'; readonly channel: number; readonly value: number }
    | {
        readonly type: 'pressure';
        readonly channel: number;
        readonly value: number;
        /** Present where one key is meant, not the channel. */
        readonly pitch?: number;
      }
    | { readonly type: 'tempo'; readonly microsPerQuarter: number }
    | { readonly type: 'meter'; readonly count: number; readonly unit: number }
    | { readonly type: 'key'; readonly fifths: number; readonly minor: boolean }
    | { readonly type: 'text'; readonly kind: MidiTextKind; readonly text: string }
    /** Everything else, kept only as a count of bytes. */
    | { readonly type: 'sysex' | 'meta'; readonly size: number }
  );

type MidiTextKind =
  | 'text'
  | 'copyright'
  | 'track-name'
  | 'instrument-name'
  | 'lyric'
  | 'marker'
  | 'cue-point';

export interface MidiTrack {
  /** From 1, in the file's order. */
  readonly number: number;
  readonly events: readonly MidiTrackEvent[];
  /** Where the end-of-track event stands. */
  readonly endTick: number;
}

const TEXT_KINDS: readonly MidiTextKind[] = [
  'text',
  'copyright',
  'track-name',
  'instrument-name',
  'lyric',
  'marker',
  'cue-point',
];

/** Throws a MidiFault. `budget.events` counts down over all tracks: a file of millions of events is no take. */
export function readTrack(
  bytes: Uint8Array,
  chunk: { readonly start: number; readonly end: number },
  number: number,
  budget: { events: number },
  issues: Issue[],
): MidiTrack {
  const cursor = new ByteCursor(bytes, chunk.start, chunk.end, `track ${number}`);
  const events: MidiTrackEvent[] = [];
  let tick = 0;
  let running = 0;
  let runningIsCancelled = false;
  while (cursor.left > 0) {
    tick += cursor.quantity('a delta time');
    if (--budget.events < 0) {
      throw new MidiFault(
        'midi.too-large',
        'the file has more than 500,000 events',
        cursor.offset,
        'Give a shorter file.',
      );
    }
    const at = cursor.offset;
    const first = cursor.peek('an event');
    if (first === 0xff) {
      cursor.offset++;
      runningIsCancelled = true;
      const kind = cursor.dataByte('a meta event');
      const data = cursor.take(cursor.quantity('the length of a meta event'), 'a meta event');
      if (kind === 0x2f) {
        if (cursor.left > 0) {
          issues.push(
            warning(
              'midi.after-end',
              `left out ${cursor.left} bytes after the end of track ${number}`,
              cursor.offset,
            ),
          );
        }
        return { number, events, endTick: tick };
      }
      events.push(metaEvent(tick, kind, data, at, issues));
    } else if (first === 0xf0 || first === 0xf7) {
      cursor.offset++;
      runningIsCancelled = true;
      const size = cursor.take(
        cursor.quantity('the length of a system exclusive event'),
        'a system exclusive event',
      ).length;
      events.push({ tick, type: 'sysex', size });
    } else if (first > 0xf0) {
      throw new MidiFault('midi.bad-status', `found ${hex(first)}, which no MIDI file may hold`, at);
    } else {
      if (first >= 0x80) {
        running = first;
        runningIsCancelled = false;
        cursor.offset++;
      } else if (running === 0) {
        throw new MidiFault(
          'midi.bad-status',
          `found ${hex(first)} in track ${number} where an event begins, before any status byte`,
          at,
        );
      } else if (runningIsCancelled) {
        runningIsCancelled = false;
        issues.push(
          warning(
            'midi.running-status',
            `track ${number} goes on with running status after a meta or system exclusive event, which ends it: read as ${hex(running)}`,
            at,
          ),
        );
      }
      events.push(channelEvent(tick, running, cursor));
    }
  }
  issues.push(warning('midi.no-end', `track ${number} has no end-of-track event`, chunk.end));
  return { number, events, endTick: tick };
}

function warning(code: string, message: string, offset: number): Issue {
  return { code, message, severity: 'warning', place: { byte: offset } };
}

function channelEvent(tick: number, status: number, cursor: ByteCursor): MidiTrackEvent {
  const channel = (status & 0x0f) + 1;
  const kind = status >> 4;
  const thing = `an event ${hex(status)}`;
  const first = cursor.dataByte(thing);
  if (kind === 0xc) return { tick, type: 'program', channel, program: first };
  if (kind === 0xd) return { tick, type: 'pressure', channel, value: first };
  const second = cursor.dataByte(thing);
  switch (kind) {
    case 0x8:
      return { tick, type: 'note-off', channel, pitch: first, velocity: second };
    case 0x9:
      return { tick, type: 'note-on', channel, pitch: first, velocity: second };
    case 0xa:
      return { tick, type: 'pressure', channel, pitch: first, value: second };
    case 0xb:
      return { tick, type: 'controller', channel, number: first, value: second };
    default:
      return { tick, type: 'bend', channel, value: second * 128 + first - 8192 };
  }
}

function metaEvent(
  tick: number,
  kind: number,
  data: Uint8Array,
  offset: number,
  issues: Issue[],
): MidiTrackEvent {
  const textKind = TEXT_KINDS[kind - 1];
  if (textKind) return { tick, type: 'text', kind: textKind, text: metaText(data) };
  if (kind === 0x51 && data.length === 3) {
    const microsPerQuarter = data[0]! * 65536 + data[1]! * 256 + data[2]!;
    if (microsPerQuarter > 0) return { tick, type: 'tempo', microsPerQuarter };
  } else if (kind === 0x58 && data.length >= 2) {
    if (data[0]! > 0 && data[1]! <= 7) return { tick, type: 'meter', count: data[0]!, unit: 2 ** data[1]! };
  } else if (kind === 0x59 && data.length === 2) {
    const fifths = data[0]! > 127 ? data[0]! - 256 : data[0]!;
    if (Math.abs(fifths) <= 7 && data[1]! <= 1) return { tick, type: 'key', fifths, minor: data[1] === 1 };
  } else if (kind !== 0x51 && kind !== 0x58 && kind !== 0x59) {
    return { tick, type: 'meta', size: data.length };
  }
  const name = kind === 0x51 ? 'tempo' : kind === 0x58 ? 'time signature' : 'key signature';
  const shown = [...data.subarray(0, 6)].map(hex).join(' ');
  issues.push(
    warning(
      'midi.bad-meta',
      `left out a ${name} that makes no sense (${data.length ? shown : 'no bytes'})`,
      offset,
    ),
  );
  return { tick, type: 'meta', size: data.length };
}
