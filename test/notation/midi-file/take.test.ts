import fc from 'fast-check';
import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { need } from '../../../src/commands/usage-problem.ts';
import { readTake } from '../../../src/notation/midi-file/take.ts';
import { writeTake } from '../../../src/notation/midi-file/take-writer.ts';
import { trackFile } from '../bytes.ts';

function take(events: string, choice = {}) {
  return need(readTake(trackFile(events), choice));
}

describe('a recorded take', () => {
  it('releases a note by velocity 0 as by a note-off', () => {
    const { notes } = take('00 90 3C 40 60 3C 00 00 90 3E 40 60 80 3E 40 00 FF 2F 00');
    expect(notes).toEqual([
      { pitch: 60, onMicros: 0, offMicros: 500_000, velocity: 64, channel: 1 },
      { pitch: 62, onMicros: 500_000, offMicros: 1_000_000, velocity: 64, channel: 1 },
    ]);
  });

  it('releases the older of two overlapping notes of one pitch first', () => {
    const { notes } = take('00 90 3C 40 30 3C 41 30 3C 00 30 3C 00 00 FF 2F 00');
    expect(notes.map((n) => [n.velocity, n.onMicros, n.offMicros])).toEqual([
      [64, 0, 500_000],
      [65, 250_000, 750_000],
    ]);
  });

  it('does not release a note of another channel', () => {
    const { notes } = take('00 90 3C 40 00 91 3C 40 30 81 3C 40 30 80 3C 40 00 FF 2F 00');
    expect(notes.map((n) => [n.channel, n.offMicros])).toEqual([
      [1, 500_000],
      [2, 250_000],
    ]);
  });

  it('keeps a note that is never released, and says so', () => {
    const { notes, issues } = take('60 90 3C 40 00 FF 2F 00');
    expect(notes).toEqual([{ pitch: 60, onMicros: 500_000, velocity: 64, channel: 1 }]);
    expect(issues.map((i) => i.code)).toEqual(['midi.unreleased']);
    expect(issues[0]!.message).toContain('0.50 s');
  });

  it('tells releases of notes that were not held', () => {
    const { notes, issues } = take('00 80 3C 40 00 90 3E 40 60 3E 00 00 3E 00 00 FF 2F 00');
    expect(notes).toHaveLength(1);
    expect(issues.map((i) => i.message)).toEqual([
      'track 1: left out 2 releases of notes that were not held',
    ]);
  });

  it.each([
    ['78', 'all sound off'],
    ['7B', 'all notes off'],
    ['7E', 'mono mode'],
  ])('lets go of everything on its channel at controller %s (%s)', (number) => {
    const { notes } = take(`00 90 3C 40 00 90 40 40 00 91 43 40 60 B0 ${number} 00 60 81 43 40 00 FF 2F 00`);
    expect(notes.map((n) => n.offMicros)).toEqual([500_000, 500_000, 1_000_000]);
  });

  it('leaves out a click on channel 10 with a word, unless it is all there is or asked for', () => {
    const both = '00 99 4C 40 00 90 3C 40 60 3C 00 00 99 4C 00 00 FF 2F 00';
    const pitched = take(both);
    expect(pitched.notes.map((n) => n.pitch)).toEqual([60]);
    expect(pitched.issues.map((i) => i.message)).toEqual(['left out 1 note on channel 10 (percussion)']);
    expect(take(both, { channel: 10 }).notes.map((n) => n.pitch)).toEqual([76]);
    const alone = take('00 99 4C 40 60 4C 00 00 FF 2F 00');
    expect(alone.notes.map((n) => n.pitch)).toEqual([76]);
    expect(alone.issues.map((i) => i.code)).toEqual(['midi.percussion-only']);
  });

  it('refuses a channel or track without notes and lists those with some', () => {
    const read = readTake(trackFile('00 90 3C 40 60 3C 00 00 FF 2F 00'), { channel: 5 });
    expect(!read.ok && read.problem).toMatchObject({
      code: 'midi.nothing-there',
      message: 'Cannot read channel 5: there are no notes',
      hint: 'there are notes in track 1 channel 1 (1 note)',
      exitStatus: 2,
    });
    expect(readTake(trackFile('00 90 3C 40 60 3C 00 00 FF 2F 00'), { track: 2 }).ok).toBe(false);
  });

  it('puts releases before onsets of the same instant, but a note of no length the right way round', () => {
    const { events } = take('00 90 3C 40 60 3E 40 00 3C 00 00 40 40 00 40 00 60 3E 00 00 FF 2F 00');
    expect(events.map((e) => [e.type, 'pitch' in e ? e.pitch : 0, e.at])).toEqual([
      ['note-on', 60, 0],
      ['note-off', 60, 500_000],
      ['note-on', 62, 500_000],
      ['note-on', 64, 500_000],
      ['note-off', 64, 500_000],
      ['note-off', 62, 1_000_000],
    ]);
  });

  it('keeps breath and pressure of a channel and of a key, as they were sent', () => {
    const { events } = take('00 90 3C 40 30 D0 51 30 A0 3C 22 30 B0 02 44 30 90 3C 00 00 FF 2F 00');
    expect(events.slice(1, 4)).toEqual([
      { type: 'other', at: 250_000, bytes: [0xd0, 0x51] },
      { type: 'other', at: 500_000, bytes: [0xa0, 0x3c, 0x22] },
      { type: 'controller', at: 750_000, number: 2, value: 0x44, channel: 1 },
    ]);
  });

  it('keeps the sustain pedal', () => {
    const { controllers } = take('00 90 3C 40 30 B0 40 7F 30 90 3C 00 00 FF 2F 00');
    expect(controllers).toEqual([{ number: 64, value: 127, atMicros: 250_000, channel: 1 }]);
  });

  it('without notes is told to be so', () => {
    expect(take('00 FF 2F 00').issues.map((i) => i.code)).toEqual(['midi.no-notes']);
  });
});

/** Notes that never overlap on one pitch and channel: any order of releases gives them back. */
const playedNotes = fc
  .array(
    fc.record({
      pitch: fc.integer({ min: 0, max: 127 }),
      waitMicros: fc.integer({ min: 0, max: 3_000_000 }),
      lengthMicros: fc.integer({ min: 0, max: 2_000_000 }),
      velocity: fc.integer({ min: 1, max: 127 }),
      channel: fc.integer({ min: 1, max: 9 }),
    }),
    { maxLength: 60 },
  )
  .map((gaps) => {
    let at = 0;
    const heldUntil = new Map<number, number>();
    return gaps.map(({ pitch, waitMicros, lengthMicros, velocity, channel }) => {
      const key = channel * 128 + pitch;
      at = Math.max(at + waitMicros, (heldUntil.get(key) ?? -100) + 100);
      heldUntil.set(key, at + lengthMicros);
      return { pitch, onMicros: at, offMicros: at + lengthMicros, velocity, channel };
    });
  });

describe('a take written and read back', () => {
  it('is the same take within 25 microseconds', () => {
    fc.assert(
      fc.property(playedNotes, (notes) => {
        const read = need(readTake(writeTake(notes)));
        const back = [...read.notes].sort(order);
        const sent = [...notes].sort(order);
        expect(back.map(({ pitch, velocity, channel }) => ({ pitch, velocity, channel }))).toEqual(
          sent.map(({ pitch, velocity, channel }) => ({ pitch, velocity, channel })),
        );
        back.forEach((note, i) => {
          expect(Math.abs(note.onMicros - sent[i]!.onMicros)).toBeLessThanOrEqual(25);
          expect(Math.abs(note.offMicros! - sent[i]!.offMicros)).toBeLessThanOrEqual(25);
        });
      }),
      { numRuns: 200 },
    );
  });

  it('is understood by the midi-file library', () => {
    fc.assert(
      fc.property(playedNotes, (notes) => {
        const file = parseMidi(writeTake(notes));
        expect(file.header).toMatchObject({ format: 0, ticksPerBeat: 10_000 });
        let tick = 0;
        const onsets: string[] = [];
        for (const event of file.tracks[0]!) {
          tick += event.deltaTime;
          if (event.type === 'noteOn')
            onsets.push(`${tick} ${event.channel + 1} ${event.noteNumber} ${event.velocity}`);
        }
        expect(file.tracks[0]!.at(-1)!.type).toBe('endOfTrack');
        expect(onsets.sort()).toEqual(
          notes.map((n) => `${Math.round(n.onMicros / 50)} ${n.channel} ${n.pitch} ${n.velocity}`).sort(),
        );
      }),
      { numRuns: 100 },
    );
  });

  it('keeps controllers and ends notes that were never released with the take', () => {
    const bytes = writeTake(
      [{ pitch: 60, onMicros: 1000, velocity: 80 }],
      [{ number: 64, value: 127, atMicros: 2_000_000, channel: 1 }],
    );
    const read = readTake(bytes);
    expect(read.ok && read.value.notes).toEqual([
      { pitch: 60, onMicros: 1000, offMicros: 2_000_000, velocity: 80, channel: 1 },
    ]);
    expect(read.ok && read.value.controllers).toHaveLength(1);
  });

  it('refuses a time before its start', () => {
    expect(() => writeTake([{ pitch: 60, onMicros: -1, velocity: 80 }])).toThrow(RangeError);
  });
});

function order(
  a: { onMicros: number; pitch: number; channel: number },
  b: { onMicros: number; pitch: number; channel: number },
): number {
  return (
    Math.round(a.onMicros / 50) - Math.round(b.onMicros / 50) || a.channel - b.channel || a.pitch - b.pitch
  );
}
