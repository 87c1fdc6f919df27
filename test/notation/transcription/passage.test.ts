import { describe, expect, it } from 'vitest';
import { need } from '../../../src/commands/usage-problem.ts';
import { spellingName } from '../../../src/music/pitch.ts';
import { passageFromCapture } from '../../../src/notation/transcription/passage.ts';
import { quantise } from '../../../src/notation/transcription/quantise.ts';
import { lots } from '../generated-passage.ts';
import { listedNotes } from '../made-passage.ts';
import { play, writeCells } from '../simulated-player.ts';

const tempo = { bpm: 60, beatTicks: 10_080 };
const meter = { count: 4, unit: 4 };
const heading = { name: 'captured', title: 'Captured', tempo, meter, instrument: 'keyboard' as const };

function capture(at: readonly number[], options: Partial<typeof heading> = {}) {
  const notes = at.map((beat, i) => ({
    pitch: 60 + i,
    onMicros: Math.round(beat * 1e6) + 20_000_000,
    offMicros: Math.round(beat * 1e6) + 20_000_000 + 450_000,
  }));
  const { onsets } = quantise(notes, { tempo, meter, zeroMicros: 20_000_000 });
  return need(passageFromCapture(onsets, { ...heading, ...options }));
}

describe('a captured passage', () => {
  it('has bars from its first note to its last, with rests where nothing was held', () => {
    const passage = capture([0, 1, 2, 3, 4.5]);
    expect(passage.bars.map((b) => [b.number, b.startTick])).toEqual([
      [1, 0],
      [2, 40_320],
    ]);
    expect(listedNotes(passage)).toEqual([
      [0, 60, 0.5],
      [1, 61, 0.5],
      [2, 62, 0.5],
      [3, 63, 0.5],
      [4.5, 64, 0.5],
    ]);
    expect(passage.endTick).toBe(80_640);
  });

  it('drops bars of waiting before the first note', () => {
    const passage = capture([8, 9, 10, 11]);
    expect(passage.bars).toHaveLength(1);
    expect(passage.onsets.map((o) => o.tick)).toEqual([0, 10_080, 20_160, 30_240]);
  });

  it('begins with a pickup where the first note is past the middle of a bar', () => {
    const passage = capture([3, 4, 5, 6, 7]);
    expect(passage.bars.map((b) => [b.number, b.durationTicks, b.pickup])).toEqual([
      [0, 10_080, true],
      [1, 40_320, false],
    ]);
    expect(passage.onsets[0]!.tick).toBe(0);
  });

  it('begins with a pickup where the player came in during the count', () => {
    const passage = capture([-0.5, 0, 1, 2]);
    expect(passage.bars[0]).toMatchObject({ number: 0, durationTicks: 10_080, pickup: true });
    expect(passage.onsets.map((o) => o.tick / 10_080)).toEqual([0.5, 1, 2, 3]);
  });

  it('keeps a rest at the start where the first note comes before the middle of the bar', () => {
    const passage = capture([1, 2, 3]);
    expect(passage.bars.map((b) => b.pickup)).toEqual([false]);
    expect(passage.onsets[0]!.tick).toBe(10_080);
  });

  it('names the notes as the player of the instrument reads them', () => {
    const passage = capture([0, 1], { instrument: 'clarinet' } as never);
    expect(passage.onsets.flatMap((o) => o.notes.map((n) => spellingName(n.spelling)))).toEqual([
      'D4',
      'D#4',
    ]);
    expect(passage.parts).toEqual([{ name: 'clarinet in Bb', instrument: 'clarinet' }]);
  });

  it('is a problem where nothing was played', () => {
    const made = passageFromCapture([], heading);
    expect(!made.ok && made.problem).toMatchObject({ code: 'capture.silent', exitStatus: 2 });
  });

  it('of a steady player is what was given to play, bar by bar', () => {
    const names = ['plain', 'halves', 'triplet', 'dotted', 'quarters', 'offbeat', 'halves', 'plain'];
    const written = writeCells(names, 10_080, lots(6));
    const played = play(written, {
      seed: 6,
      bpm: 60,
      beatTicks: 10_080,
      motorSdMicros: 12_000,
      lagMicros: -20_000,
    });
    const { onsets } = quantise(played, { tempo, meter, zeroMicros: 0 });
    const made = passageFromCapture(onsets, heading);
    expect(
      made.ok && made.value.onsets.map((o) => [o.tick, o.notes[0]!.pitch, o.notes[0]!.durationTicks]),
    ).toEqual(written.map((n) => [n.tick, n.pitches[0], n.durationTicks]));
  });
});

describe('an endless rest or note', () => {
  const meter = { count: 4, unit: 4 };
  const tempo = { bpm: 60, beatTicks: 10_080 };
  const heading = { name: 'n', title: 't', tempo, meter, instrument: 'flute' as const };
  const HOUR = 3_600_000_000;

  it.each([
    ['rest', [0, 1_000_000], [100 * HOUR, 100 * HOUR + 1_000_000]],
    ['note', [0, 100 * HOUR], [100 * HOUR + 1_000_000, 100 * HOUR + 2_000_000]],
  ])('a %s of a hundred hours is refused, not cut', (_, first, second) => {
    const notes = [first, second].map(([onMicros = 0, offMicros = 0]) => ({
      pitch: 72,
      onMicros,
      offMicros,
    }));
    const { onsets } = quantise(notes, { tempo, meter, zeroMicros: 0 });
    expect(onsets.map((o) => o.tick / 10_080)).toEqual([0, Math.round(second[0]! / 1_000_000)]);
    const made = passageFromCapture(onsets, heading);
    expect(!made.ok && made.problem.code).toBe('capture.too-long');
  });
});
