import { describe, expect, it } from 'vitest';
import type { Passage } from '../../../src/music/passage.ts';
import { spellingName } from '../../../src/music/pitch.ts';
import { readMidiFile } from '../../../src/notation/midi-file/reader.ts';
import { writeTake } from '../../../src/notation/midi-file/take-writer.ts';
import { writeMidiFile } from '../../../src/notation/midi-file/writer.ts';
import { fromHex, trackFile } from '../bytes.ts';
import { lots } from '../generated-passage.ts';
import { listedNotes, madePassage, quarters } from '../made-passage.ts';
import { play, writeCells } from '../simulated-player.ts';

describe('a written MIDI file', () => {
  it('says its meter, key and tempo, and names its notes by the key', () => {
    // 3/4, three flats minor, 90 to the minute (666,666 as in the standard), Eb4 and B natural.
    const { passage } = read(
      '00 FF 58 04 03 02 18 08 00 FF 59 02 FD 01 00 FF 51 03 0A 2C 2A 00 90 3F 40 60 3F 00 00 3B 40 60 3B 00 00 FF 2F 00',
    );
    expect(passage!.bars).toEqual([
      { number: 1, startTick: 0, durationTicks: 30_240, meter: { count: 3, unit: 4 }, pickup: false },
    ]);
    expect(passage!.keys).toEqual([{ tick: 0, fifths: -3, mode: 'minor' }]);
    expect(passage!.tempo).toEqual({ bpm: 90, beatTicks: 10_080 });
    expect(names(passage!)).toEqual(['Eb4', 'B3']);
  });

  it('counts dotted quarters in 6/8', () => {
    const { passage } = read(
      '00 FF 58 04 06 03 18 08 00 FF 51 03 07 A1 20 00 90 3C 40 81 10 3C 00 00 FF 2F 00',
    );
    expect(passage!.tempo).toEqual({ bpm: 80, beatTicks: 15_120 });
  });

  it('takes a first bar of at most half the next for a pickup', () => {
    const pickup = '00 FF 58 04 01 02 18 08 60 FF 58 04 04 02 18 08';
    const { passage } = read(`${pickup} 00 90 3C 40 60 3C 00 00 FF 2F 00`);
    expect(passage!.bars.map((b) => [b.number, b.durationTicks, b.pickup])).toEqual([
      [0, 10_080, true],
      [1, 40_320, false],
    ]);
    const change = read(
      '00 FF 58 04 03 02 18 08 82 20 FF 58 04 04 02 18 08 00 90 3C 40 60 3C 00 00 FF 2F 00',
    );
    expect(change.passage!.bars.map((b) => [b.number, b.pickup])).toEqual([
      [1, false],
      [2, false],
    ]);
  });

  it('ends a bar where the meter changes inside it, and says which', () => {
    const { passage, issues } = read(
      '00 90 3C 40 60 3C 00 60 FF 58 04 03 02 18 08 00 90 3E 40 60 3E 00 00 FF 2F 00',
    );
    expect(passage!.bars.map((b) => b.durationTicks)).toEqual([20_160, 30_240]);
    expect(issues).toContainEqual({
      code: 'bar.length',
      message: 'bar 1 is cut short by a change of meter',
      severity: 'warning',
      place: { bar: 1 },
    });
  });

  it('gives notes that a program shortened to nine tenths their full length back', () => {
    const events = Array.from({ length: 8 }, () => '00 90 3C 40 56 3C 00 0A FF 01 01 2E').join(' ');
    const { passage } = read(`${events} 00 FF 2F 00`);
    expect(listedNotes(passage!)).toEqual(Array.from({ length: 8 }, (_, i) => [i, 60, 1]));
  });

  it('reads short notes off the grid before an onset as its grace notes, and a run of sixteenths not', () => {
    const withGraces = madePassage([
      { at: 0, length: 1, pitch: 72 },
      { at: 1, length: 0, pitch: 73, grace: true },
      { at: 1, length: 1, pitch: 74 },
    ]);
    const { passage } = readMidiFile(writeMidiFile(withGraces), 'graces.mid');
    expect(
      passage!.onsets.map((o) => o.notes.map((n) => [n.pitch, n.ornament ?? 'note', n.durationTicks])),
    ).toEqual([
      [[72, 'note', 10_080]],
      [
        [73, 'grace', 0],
        [74, 'note', 10_080],
      ],
    ]);
    const run = madePassage(
      Array.from({ length: 16 }, (_, i) => ({ at: i / 4, length: 0.25, pitch: 60 + i })),
    );
    const back = readMidiFile(writeMidiFile(run), 'run.mid').passage!;
    expect(back.onsets.flatMap((o) => o.notes).filter((n) => n.ornament)).toEqual([]);
  });

  it("reads another program's grace notes by the same signs", () => {
    // 480 to the quarter: C5 until 451, a D5 of 29 ticks, E5 on the second beat.
    const events = '00 90 48 40 83 43 48 00 00 4A 40 1D 4A 00 00 4C 40 83 60 4C 00 00 FF 2F 00';
    const { passage } = readMidiFile(trackFile(events, '01 E0'), 'theirs.mid');
    expect(passage!.onsets.map((o) => [o.tick, o.notes.map((n) => n.ornament ?? n.durationTicks)])).toEqual([
      [0, [10_080]],
      [10_080, ['grace', 10_080]],
    ]);
  });

  it('makes a part of each channel of a format 0 file, and knows wind instruments by their program', () => {
    const { passage } = read('00 C0 47 00 C1 49 00 90 3C 40 00 91 48 40 60 80 3C 40 00 81 48 40 00 FF 2F 00');
    expect(passage!.parts.map((p) => p.instrument)).toEqual(['clarinet', 'flute']);
    // C4 sounding is D4 to the clarinet, whose key then has two sharps.
    expect(passage!.onsets[0]!.notes.map((n) => spellingName(n.spelling))).toEqual(['D4', 'C5']);
    expect(passage!.keys[0]!.fifths).toBe(2);
  });

  it('reads one track or channel where asked', () => {
    const bytes = trackFile('00 90 3C 40 00 91 48 40 60 80 3C 40 00 81 48 40 00 FF 2F 00');
    expect(listedNotes(readMidiFile(bytes, 'x.mid', { channel: 2 }).passage!)).toEqual([[0, 72, 1]]);
    const none = readMidiFile(bytes, 'x.mid', { track: 4 });
    expect(none.passage).toBeUndefined();
    expect(none.issues[0]).toMatchObject({ severity: 'error', code: 'midi.nothing-there' });
    expect(none.issues[0]!.message).toContain('track 1 channel 2 (1 note)');
  });

  it('divides a keyboard part without hands at middle C and says so', () => {
    const { passage, issues } = read('00 90 30 40 00 48 40 60 30 00 00 48 00 00 FF 2F 00');
    expect(passage!.onsets[0]!.notes.map((n) => [n.pitch, n.staff, n.voice])).toEqual([
      [48, 2, 2],
      [72, 1, 1],
    ]);
    expect(issues.map((i) => i.code)).toContain('midi.hands');
  });

  it('takes two tracks of one name for the hands of a keyboard', () => {
    const track = (pitch: string) =>
      `4D 54 72 6B 00 00 00 16 00 FF 03 07 43 65 6C 65 73 74 61 00 90 ${pitch} 40 60 ${pitch} 00 00 FF 2F 00`;
    const bytes = fromHex(`4D 54 68 64 00 00 00 06 00 01 00 02 00 60 ${track('48')} ${track('30')}`);
    const { passage } = readMidiFile(bytes, 'hands.mid');
    expect(passage!.parts).toEqual([{ name: 'Celesta', instrument: 'celesta' }]);
    expect(passage!.onsets[0]!.notes.map((n) => [n.pitch, n.staff])).toEqual([
      [48, 2],
      [72, 1],
    ]);
  });

  it('takes markers for rehearsal marks and keeps tempo changes', () => {
    const { passage } = read(
      '00 FF 06 01 41 00 90 3C 40 60 3C 00 00 FF 51 03 0F 42 40 00 90 3E 40 60 3E 00 00 FF 2F 00',
    );
    expect(passage!.rehearsalMarks).toEqual([{ tick: 0, text: 'A' }]);
    expect(passage!.tempoChanges).toEqual([{ tick: 10_080, tempo: { bpm: 60, beatTicks: 10_080 } }]);
  });

  it('warns of notes outside the range of the instrument, and reads them', () => {
    const low = madePassage([{ at: 0, length: 1, pitch: 40 }], { instruments: ['flute'] });
    const { passage, issues } = readMidiFile(writeMidiFile(low), 'low.mid');
    expect(passage!.onsets).toHaveLength(1);
    expect(issues.map((i) => i.message)).toEqual(['Outside the range of the flute: E2 (onset 1)']);
  });

  it('keeps a unison of two tracks once, with the longer length', () => {
    const { passage, issues, noteCount } = read('00 90 3C 40 00 3C 40 30 3C 00 30 3C 00 00 FF 2F 00');
    expect(listedNotes(passage!)).toEqual([[0, 60, 1]]);
    expect(noteCount).toBe(1);
    expect(issues.map((i) => i.code)).toContain('unison.merged');
  });

  it('without a note, or lasting tens of thousands of bars, is refused', () => {
    expect(read('00 FF 2F 00').issues.map((i) => i.code)).toEqual(['notes.none']);
    expect(read('FF FF FF 7F 90 3C 40 60 3C 00 00 FF 2F 00').issues.map((i) => i.code)).toEqual([
      'midi.too-long',
    ]);
  });

  it('that is damaged gives no passage but the byte', () => {
    const { passage, issues, noteCount } = readMidiFile(trackFile('00 90 3C').subarray(0, 24), 'cut.mid');
    expect(passage).toBeUndefined();
    expect(noteCount).toBe(0);
    expect(issues).toHaveLength(1);
    expect(issues[0]!.message).toMatch(/^Cannot read cut.mid: byte \d+: /);
  });
});

describe('a recorded MIDI file', () => {
  it('is put on the grid of its tempo, and the uncertainty is told', () => {
    const written = writeCells(
      ['plain', 'halves', 'quarters', 'triplet', 'long-short-short', 'halves', 'triplet', 'plain'],
      10_080,
      lots(3),
    );
    // writeTake writes 120 to the minute: so does the player play.
    const played = play(written, {
      seed: 2,
      bpm: 120,
      beatTicks: 10_080,
      motorSdMicros: 8_000,
      lagMicros: 15_000,
    });
    const take = writeTake(played.map((n) => ({ ...n, velocity: 70 })));
    const { passage, issues, noteCount } = readMidiFile(take, 'take.mid');
    expect(passage!.onsets.map((o) => o.tick)).toEqual(written.map((n) => n.tick));
    expect(noteCount).toBe(written.length);
    const told = issues.find((i) => i.code === 'midi.recorded')!;
    expect(told.message).toMatch(/^this is a recording: \d+ onsets put on the grid, \d+ % sure on average/);
  });

  it('with places in doubt says in which bars', () => {
    const at = [0, 347_000, 501_000, 1_003_000, 1_500_000, 2_003_000];
    const take = writeTake(
      at.map((t) => ({ pitch: 60, onMicros: t + 7_000, offMicros: t + 100_000, velocity: 70 })),
    );
    const { issues } = readMidiFile(take, 'doubt.mid');
    const doubtful = issues.find((i) => i.code === 'midi.doubtful');
    expect(doubtful?.message).toMatch(/may stand elsewhere: look at bar 1$/);
    expect(doubtful?.place).toEqual({ bar: 1 });
  });

  it('with a time code is read by its seconds', () => {
    // E7 28: ticks of a millisecond; notes half a second apart, as quarters at the default tempo.
    const events = Array.from({ length: 6 }, () => '00 90 3C 40 83 48 3C 00 2C FF 01 01 2E').join(' ');
    const { passage, issues } = readMidiFile(trackFile(`${events} 00 FF 2F 00`, 'E7 28'), 'timecode.mid');
    expect(passage!.onsets.map((o) => o.tick / 10_080)).toEqual([0, 1, 2, 3, 4, 5]);
    expect(issues.map((i) => i.code)).toContain('midi.recorded');
  });
});

function read(events: string) {
  return readMidiFile(trackFile(events), 'events.mid');
}

function names(passage: Passage): string[] {
  return passage.onsets.flatMap((o) => o.notes.map((n) => spellingName(n.spelling)));
}

describe('a passage of quarters', () => {
  it('is written with the meter, key and end of track that the standard lays out', () => {
    const bytes = writeMidiFile(madePassage(quarters(1), { fifths: 1, bpm: 120 }));
    const text = [...bytes].map((b) => b.toString(16).toUpperCase().padStart(2, '0')).join(' ');
    // Header: format 1, two tracks, 480 to the quarter.
    expect(text.startsWith('4D 54 68 64 00 00 00 06 00 01 00 02 01 E0 4D 54 72 6B')).toBe(true);
    expect(text).toContain('00 FF 51 03 07 A1 20');
    expect(text).toContain('00 FF 58 04 04 02 18 08');
    expect(text).toContain('00 FF 59 02 01 00');
    expect(text).toContain('00 90 3C 50 83 60 80 3C 40');
    expect(text.endsWith('FF 2F 00')).toBe(true);
  });
});

describe('absurd files', () => {
  // One tick to the quarter: every delta time counts quarters, up to 268,435,455 of them.
  it.each([
    ['a huge rest', '00 90 3C 40 01 3C 00 FF FF FF 7F 3E 40 01 3E 00 00 FF 2F 00'],
    ['a huge note', '00 90 3C 40 FF FF FF 7F 3C 00 00 FF 2F 00'],
    ['a huge note under others', '00 90 3C 40 01 3E 40 01 3E 00 FF FF FF 7F 3C 00 00 FF 2F 00'],
  ])('%s is told to be too long', (_, events) => {
    const { issues, passage } = readMidiFile(trackFile(events, '00 01'), 'absurd.mid');
    expect(passage).toBeUndefined();
    expect(issues.map((i) => i.code)).toContain('midi.too-long');
  });

  it('a huge silence after the last note is no music', () => {
    const { passage } = readMidiFile(
      trackFile('00 90 3C 40 01 3C 00 FF FF FF 7F FF 2F 00', '00 01'),
      'quiet.mid',
    );
    expect(passage!.bars).toHaveLength(1);
  });
});

describe('the instrument of a track', () => {
  const file = (program: string, name: string) => {
    const text = [...name].map((letter) => letter.charCodeAt(0).toString(16)).join(' ');
    const title = name === '' ? '' : `00 FF 03 ${name.length.toString(16).padStart(2, '0')} ${text} `;
    return readMidiFile(trackFile(`${title}00 C0 ${program} 00 90 3C 40 60 3C 00 00 FF 2F 00`), 'f.mid');
  };
  it.each([
    ['3A', '', 'tuba'],
    ['38', 'Cornet', 'cornet'],
    ['2B', '', 'double-bass'],
    ['39', 'Euphonium', 'euphonium'],
    ['00', 'Oboe', 'oboe'],
    ['49', 'Trumpet Voluntary', 'flute'],
  ])('program %s called "%s" is the %s', (program, name, instrument) => {
    const { passage, issues } = file(program, name);
    expect(passage!.parts[0]!.instrument).toBe(instrument);
    expect(issues.map((i) => i.code)).not.toContain('instrument.unknown');
  });

  it('is asked for where the program means none that is known', () => {
    const { passage, issues } = file('30', '');
    expect(passage!.parts[0]!.instrument).toBe('in-c');
    expect(issues.find((i) => i.code === 'instrument.unknown')!.message).toContain('--instrument');
  });
});
