// Source: MIDI 1.0 Detailed Specification (status bytes, running status, real-time bytes), values from memory where a
// table is not named.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { channelOf, MidiByteStream, readMessage } from '../../src/devices/midi-message.ts';

const hex = (text: string) => text.split(' ').map((byte) => Number.parseInt(byte, 16));

describe('live MIDI bytes', () => {
  it('read through running status with real-time bytes in between', () => {
    const messages = new MidiByteStream().feed(hex('90 3C 40 F8 3E 40 FE 3C 00'));
    expect(messages.map((message) => readMessage(message, 5))).toEqual([
      { type: 'note-on', at: 5, pitch: 60, velocity: 64, channel: 1 },
      { type: 'other', at: 5, bytes: [0xf8] },
      { type: 'note-on', at: 5, pitch: 62, velocity: 64, channel: 1 },
      { type: 'other', at: 5, bytes: [0xfe] },
      { type: 'note-off', at: 5, pitch: 60, channel: 1 },
    ]);
  });

  it('let a real-time byte stand inside a message', () => {
    expect(new MidiByteStream().feed(hex('90 3C F8 40'))).toEqual([[0xf8], hex('90 3C 40')]);
  });

  it('drop running status after system common and exclusive bytes, not after real-time ones', () => {
    expect(new MidiByteStream().feed(hex('90 3C 40 F3 01 3E 40'))).toEqual([hex('90 3C 40'), hex('F3 01')]);
    expect(new MidiByteStream().feed(hex('90 3C 40 F0 7E F7 3E 40'))).toEqual([
      hex('90 3C 40'),
      hex('F0 7E F7'),
    ]);
    expect(new MidiByteStream().feed(hex('90 3C 40 FF 3E 40'))).toHaveLength(3);
  });

  it('know how many data bytes every status takes', () => {
    const stream = new MidiByteStream();
    const text = '80 3C 40 A0 3C 10 B2 40 7F C1 05 D0 33 E0 00 40 F1 10 F2 00 01 F3 02 F6 FA FB FC';
    expect(stream.feed(hex(text)).map((message) => message.length)).toEqual([
      3, 3, 3, 2, 2, 3, 2, 3, 2, 1, 1, 1, 1,
    ]);
  });

  it('read a note-on with velocity 0 as a release', () => {
    expect(readMessage([0x9f, 60, 0], 1)).toEqual({ type: 'note-off', at: 1, pitch: 60, channel: 16 });
  });

  it('keep controllers, and everything else as it came', () => {
    expect(readMessage([0xb0, 64, 127], 1)).toEqual({
      type: 'controller',
      at: 1,
      number: 64,
      value: 127,
      channel: 1,
    });
    expect(readMessage([0xe0, 0, 64], 1)).toEqual({ type: 'other', at: 1, bytes: [0xe0, 0, 64] });
    expect(readMessage([0x90, 60], 1)).toEqual({ type: 'other', at: 1, bytes: [0x90, 60] });
    expect(channelOf([0xe4, 0, 64])).toBe(5);
    expect(channelOf([0xf8])).toBeUndefined();
  });

  it('come out alike however the stream is cut', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(255), { maxLength: 60 }), fc.nat(60), (bytes, cut) => {
        const whole = new MidiByteStream().feed(bytes);
        const stream = new MidiByteStream();
        expect([...stream.feed(bytes.slice(0, cut)), ...stream.feed(bytes.slice(cut))]).toEqual(whole);
      }),
      { numRuns: 200 },
    );
  });

  it('survive running status: a stream with repeated status bytes left out reads the same', () => {
    const note = fc.tuple(fc.constantFrom(0x90, 0x91, 0x80, 0xb0), fc.nat(127), fc.nat(127));
    fc.assert(
      fc.property(fc.array(note, { maxLength: 30 }), (notes) => {
        const short = notes.flatMap(([status, a, b], i) =>
          notes[i - 1]?.[0] === status ? [a, b] : [status, a, b],
        );
        expect(new MidiByteStream().feed(short)).toEqual(notes);
      }),
      { numRuns: 200 },
    );
  });
});
