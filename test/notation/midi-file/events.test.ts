import { describe, expect, it } from 'vitest';
import { need } from '../../../src/commands/usage-problem.ts';
import { readMidiEvents, tempoMapFor } from '../../../src/notation/midi-file/events.ts';
import { tempoMapOf } from '../../../src/notation/midi-file/tempo.ts';
import { fromHex, trackFile } from '../bytes.ts';

const HEAD = '4D 54 68 64 00 00 00 06 00 00 00 01 00 60';
const TRACK = '4D 54 72 6B 00 00 00 0B 00 90 3C 40 60 3C 00 00 FF 2F 00';
const WHOLE = fromHex(`${HEAD} ${TRACK}`);

describe('a damaged MIDI file', () => {
  it('is a problem wherever it is cut, never a shorter file', () => {
    for (let length = 0; length < WHOLE.length; length++) {
      const file = readMidiEvents(WHOLE.subarray(0, length));
      expect(file.ok, `cut to ${length} bytes`).toBe(false);
      if (!file.ok) {
        expect(file.problem.exitStatus).toBe(3);
        expect(file.problem.message).toMatch(/^Cannot read the MIDI file: byte \d+: /);
      }
    }
    expect(readMidiEvents(WHOLE).ok).toBe(true);
  });

  it('says which byte is wrong, counted from 0', () => {
    const cut = readMidiEvents(WHOLE.subarray(0, 28));
    expect(!cut.ok && cut.problem).toMatchObject({ code: 'midi.truncated', place: { byte: 14 } });
    const bad = readMidiEvents(trackFile('00 90 3C 90 60 3C 00 00 FF 2F 00'));
    expect(!bad.ok && bad.problem).toMatchObject({ code: 'midi.bad-data-byte', place: { byte: 25 } });
    expect(!bad.ok && bad.problem.message).toContain('found 90 inside an event 90');
  });

  it.each([
    ['nothing at all', '', 'midi.empty'],
    ['some other file', '89 50 4E 47 0D 0A 1A 0A', 'midi.not-a-midi-file'],
    ['a sound recording', '52 49 46 46 24 00 00 00 57 41 56 45 66 6D 74 20', 'midi.not-a-midi-file'],
    ['a header of four bytes', '4D 54 68 64 00 00 00 04 00 00 00 01', 'midi.short-header'],
    ['format 3', `4D 54 68 64 00 00 00 06 00 03 00 01 00 60 ${TRACK}`, 'midi.unknown-format'],
    ['a division of 0', `4D 54 68 64 00 00 00 06 00 00 00 01 00 00 ${TRACK}`, 'midi.bad-division'],
    ['a time code of 23 frames', `4D 54 68 64 00 00 00 06 00 00 00 01 E9 28 ${TRACK}`, 'midi.bad-division'],
    ['a time code without ticks', `4D 54 68 64 00 00 00 06 00 00 00 01 E7 00 ${TRACK}`, 'midi.bad-division'],
    ['fewer tracks than promised', `4D 54 68 64 00 00 00 06 00 01 00 02 00 60 ${TRACK}`, 'midi.truncated'],
    ['no track', '4D 54 68 64 00 00 00 06 00 01 00 00 00 60', 'midi.no-track'],
    ['a track that begins without a status', `${HEAD} 4D 54 72 6B 00 00 00 03 00 3C 40`, 'midi.bad-status'],
    ['a real-time byte in a track', `${HEAD} 4D 54 72 6B 00 00 00 02 00 F8`, 'midi.bad-status'],
    [
      'a meta event longer than its track',
      `${HEAD} 4D 54 72 6B 00 00 00 05 00 FF 01 7F 41`,
      'midi.truncated',
    ],
    ['an endless delta time', `${HEAD} 4D 54 72 6B 00 00 00 06 FF FF FF FF 7F 90`, 'midi.bad-quantity'],
    ['a RIFF file without its data', '52 49 46 46 04 00 00 00 52 4D 49 44', 'midi.truncated'],
  ])('with %s is refused with its code', (_, text, code) => {
    const bytes = text === '' ? new Uint8Array() : fromHex(text);
    const file = readMidiEvents(bytes);
    expect(!file.ok && file.problem.code).toBe(code);
  });

  it('of 50 MB is refused at once', () => {
    const file = readMidiEvents(new Uint8Array(50_000_000));
    expect(!file.ok && file.problem.message).toContain('50 MB');
  });

  it('of more than half a million events is refused', () => {
    // Two data bytes an event by running status: three bytes each.
    const events = 500_001;
    const bytes = new Uint8Array(22 + 1 + events * 3);
    bytes.set(WHOLE.subarray(0, 18));
    new DataView(bytes.buffer).setUint32(18, bytes.length - 22);
    bytes.set([0x00, 0xb0, 0x40, 0x00], 22);
    const file = readMidiEvents(bytes);
    expect(!file.ok && file.problem.code).toBe('midi.too-large');
  });
});

describe('an odd MIDI file', () => {
  it.each([
    ['without an end of track', '00 90 3C 40 60 3C 00', 'midi.no-end'],
    ['with bytes after the end of a track', '00 90 3C 40 60 3C 00 00 FF 2F 00 00 00', 'midi.after-end'],
    [
      'with running status after a meta event',
      '00 90 3C 40 60 FF 01 01 41 00 3C 00 00 FF 2F 00',
      'midi.running-status',
    ],
    ['with a tempo of 0', '00 FF 51 03 00 00 00 00 90 3C 40 60 3C 00 00 FF 2F 00', 'midi.bad-meta'],
    ['with a key of nine sharps', '00 FF 59 02 09 00 00 90 3C 40 60 3C 00 00 FF 2F 00', 'midi.bad-meta'],
    ['with a meter of 0', '00 FF 58 04 00 02 18 08 00 90 3C 40 60 3C 00 00 FF 2F 00', 'midi.bad-meta'],
  ])('%s is read, with a word about it', (_, events, code) => {
    const file = readMidiEvents(trackFile(events));
    expect(file.ok && file.value.issues.map((issue) => issue.code)).toEqual([code]);
    expect(file.ok && file.value.tracks[0]!.events.filter((e) => e.type === 'note-on')).toHaveLength(2);
  });

  it('in a RIFF wrapper is read from inside it', () => {
    const wrapped = fromHex(
      `52 49 46 46 00 00 00 00 52 4D 49 44 4C 49 53 54 03 00 00 00 41 42 43 00 64 61 74 61 ${WHOLE.length.toString(16)} 00 00 00`,
    );
    const file = readMidiEvents(Uint8Array.from([...wrapped, ...WHOLE]));
    const bare = readMidiEvents(WHOLE);
    expect(file).toEqual(bare);
  });

  it('with more tracks than promised is read whole, with a word', () => {
    const file = readMidiEvents(fromHex(`${HEAD} ${TRACK} ${TRACK}`));
    expect(file.ok && file.value.tracks).toHaveLength(2);
    expect(file.ok && file.value.issues.map((i) => i.code)).toEqual(['midi.track-count']);
  });

  it('with names in Latin-1 or UTF-8 shows both rightly', () => {
    const file = readMidiEvents(trackFile('00 FF 03 04 46 6C F6 65 00 FF 03 05 46 6C C3 B6 65 00 FF 2F 00'));
    expect(file.ok && file.value.tracks[0]!.events.map((e) => e.type === 'text' && e.text)).toEqual([
      'Flöe',
      'Flöe',
    ]);
  });

  it('keeps bends, pressures, controllers and system exclusive bytes apart from notes', () => {
    const file = readMidiEvents(
      trackFile('00 E0 00 40 00 E0 00 00 00 D0 21 00 A0 3C 22 00 B0 40 7F 00 F0 03 7E 7F F7 00 FF 2F 00'),
    );
    expect(file.ok && file.value.tracks[0]!.events).toEqual([
      { tick: 0, type: 'bend', channel: 1, value: 0 },
      { tick: 0, type: 'bend', channel: 1, value: -8192 },
      { tick: 0, type: 'pressure', channel: 1, value: 0x21 },
      { tick: 0, type: 'pressure', channel: 1, pitch: 60, value: 0x22 },
      { tick: 0, type: 'controller', channel: 1, number: 64, value: 127 },
      { tick: 0, type: 'sysex', size: 3 },
    ]);
  });
});

describe('the tempo map', () => {
  const division = { kind: 'metrical', ticksPerQuarter: 480 } as const;

  it('adds up stretches of different tempo', () => {
    const map = tempoMapOf(division, [
      { tick: 0, microsPerQuarter: 1_000_000 },
      { tick: 960, microsPerQuarter: 500_000 },
      { tick: 1920, microsPerQuarter: 250_000 },
    ]);
    expect([0, 480, 960, 1440, 1920, 2400].map(map.microsAt)).toEqual([
      0, 1_000_000, 2_000_000, 2_500_000, 3_000_000, 3_250_000,
    ]);
    expect(map.microsPerQuarterAt(959)).toBe(1_000_000);
    expect(map.microsPerQuarterAt(960)).toBe(500_000);
  });

  it('keeps the default until the first tempo and the last of two at one tick', () => {
    const map = tempoMapOf(division, [
      { tick: 480, microsPerQuarter: 300_000 },
      { tick: 480, microsPerQuarter: 1_000_000 },
    ]);
    expect([480, 960].map(map.microsAt)).toEqual([500_000, 1_500_000]);
  });

  it('does not gather rounding errors over ten thousand tempo changes', () => {
    const tempos = Array.from({ length: 10_000 }, (_, i) => ({ tick: i, microsPerQuarter: 333_333 }));
    const map = tempoMapOf(division, tempos);
    expect(map.microsAt(480_000)).toBe(333_333_000);
  });

  it('is of one track alone in format 2', () => {
    const track = (micros: string) => `4D 54 72 6B 00 00 00 0B 00 FF 51 03 ${micros} 00 FF 2F 00`;
    const file = need(
      readMidiEvents(
        fromHex(`4D 54 68 64 00 00 00 06 00 02 00 02 00 60 ${track('07 A1 20')} ${track('0F 42 40')}`),
      ),
    );
    expect(file.tracks.map((t) => tempoMapFor(file, t).microsAt(96))).toEqual([500_000, 1_000_000]);
  });
});
