// Touch in lines of our own. The decibels of a velocity are those of General MIDI's recommended response (from memory);
// what sticks out is common practice, no source.

import { describe, expect, it } from 'vitest';
import type { Articulation } from '../../src/music/onset.ts';
import { spellingName, spellPitch } from '../../src/music/pitch.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';
import { Random } from '../../src/simulation/random.ts';
import { judgedNotes } from '../../src/take/result.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { sentence } from '../../src/wording/sentence.ts';
import { line, perfect, ZERO_MICROS } from '../matching/takes.ts';

const PITCHES = [62, 64, 66, 67, 69, 71, 73, 74, 73, 71, 69, 67];
const RUN = line(PITCHES, { pulse: 'click', zeroMicros: ZERO_MICROS });
const name = (pitch: number): string => spellingName(spellPitch(pitch, 2));

interface Asked {
  readonly run?: typeof RUN;
  readonly evenTouch?: boolean;
  readonly events?: readonly PlayerEvent[];
  readonly tolerance?: keyof typeof TOLERANCES;
}

function told(velocities: (i: number) => number, { run = RUN, events = [], ...asked }: Asked = {}) {
  const played = perfect(run).map((note, i): PlayedNote => ({ ...note, velocity: velocities(i) }));
  const { verdict } = judgedNotes(run, played, events, {
    tolerance: TOLERANCES[asked.tolerance ?? 'steady'],
    evenTouch: asked.evenTouch ?? false,
  });
  const expected = run.onsets.map((onset) => onset.notes.map((note) => name(note.pitch)));
  return { verdict, said: sentence({ verdict }, { expected, ofPitch: name }) };
}

const around80 = (i: number): number => 80 + [2, -3, 1, 4, -2, 0, 3, -4][i % 8]!;

describe('a line played by velocity', () => {
  it('has the note named that sticks out, as advice on a clean take', () => {
    const { verdict, said } = told((i) => (i === 5 ? 122 : around80(i)));
    expect(verdict.clean).toBe(true);
    expect(said).toMatch(
      /^Clean\. .*B4 sticks out, 122 among \d+: lighter there, like the notes around it\.$/,
    );
  });

  it('has the note named that drops', () => {
    const { said } = told((i) => (i === 3 ? 44 : around80(i)));
    expect(said).toMatch(
      /G4 drops out of the line, 44 among \d+: give it the weight of the notes around it\.$/,
    );
  });

  it('is told as uneven where many notes stray', () => {
    const { verdict, said } = told((i) => [50, 100, 66, 120, 45, 95, 58, 115][i % 8]!);
    expect(verdict.clean).toBe(true);
    expect(said).toMatch(/Uneven in touch, from 45 to 120: one weight for all the notes\.$/);
  });

  it('is told as uneven, and no one note of it, where strengths fall as they like', () => {
    const takes = 60;
    const run = line([...PITCHES, ...PITCHES, ...PITCHES], { pulse: 'click', zeroMicros: ZERO_MICROS });
    let [uneven, one] = [0, 0];
    for (let seed = 0; seed < takes; seed++) {
      const random = new Random(seed, 5);
      const { touch } = told(() => random.integer(40, 110), { run }).verdict;
      if (touch?.uneven) uneven++;
      else if (touch && touch.standing.length > 0) one++;
    }
    expect(uneven).toBeGreaterThan(3 * one);
  });

  it('is not blamed for a crescendo, a new dynamic, a slow swell or its two ends', () => {
    const shapes: ((i: number) => number)[] = [
      (i) => 35 + 7 * i,
      (i) => (i < 6 ? 45 : 105),
      (i) => 60 + 8 * Math.min(i, 11 - i),
      (i) => (i === 0 || i === 11 ? 125 : 70),
    ];
    for (const shape of shapes) expect(told(shape).said).toMatch(/^Clean\.[^.]*\.$/);
  });

  it('is not blamed for an accent that is written, nor the notes beside it', () => {
    const articulations: Articulation[] = ['accent'];
    const onsets = RUN.onsets.map((onset, i) =>
      i === 5 ? { ...onset, notes: onset.notes.map((note) => ({ ...note, articulations })) } : onset,
    );
    const accented = told((i) => (i === 5 ? 122 : around80(i)), { run: { ...RUN, onsets } });
    expect(accented.said).toMatch(/^Clean\.[^.]*\.$/);
  });

  it('is told nothing by an instrument that sends the same for every note, and says so where it was asked', () => {
    expect(told(() => 64).verdict.touch).toBeUndefined();
    expect(told(() => 64).said).toMatch(/^Clean\.[^.]*\.$/);
    expect(told(() => 64, { evenTouch: true }).said).toMatch(
      /Of the touch nothing is known: the instrument sends the same for every note\.$/,
    );
  });

  it('says nothing of a line too short to have neighbours, whatever was sent', () => {
    const run = line([62, 64, 66], { pulse: 'click', zeroMicros: ZERO_MICROS });
    const { verdict, said } = told((i) => 60 + 20 * (i % 2), { run, evenTouch: true });
    expect(verdict.clean).toBe(true);
    expect(said).toMatch(/^Clean\.[^.]*\.$/);
  });

  it('is a fault where an even touch was asked for, and after all that is wrong in time', () => {
    const loud = (i: number) => (i === 5 ? 122 : around80(i));
    const { verdict, said } = told(loud, { evenTouch: true });
    expect(verdict.clean).toBe(false);
    expect(said).toMatch(/^B4 sticks out, 122 among/);
    expect(told(around80, { evenTouch: true }).verdict.clean).toBe(true);
    const played = perfect(RUN).map((note, i) => ({
      ...note,
      velocity: loud(i),
      onMicros: note.onMicros + (i >= 8 ? 90_000 : 0),
    }));
    const both = judgedNotes(RUN, played, [], { tolerance: TOLERANCES.steady, evenTouch: true }).verdict;
    expect(both.troubles.map(({ kind }) => kind)).toEqual(['dragged', 'touch']);
  });

  it('is hardly ever blamed for how a steady hand strays by itself, and nearly always for a note 8 dB louder', () => {
    let [blamed, found] = [0, 0];
    const takes = 400;
    for (let seed = 0; seed < takes; seed++) {
      const random = new Random(seed, 1);
      const stray = PITCHES.map(() => Math.round(random.normal(72, 5)));
      const { touch } = told((i) => stray[i]!).verdict;
      if (touch && (touch.uneven || touch.standing.length > 0)) blamed++;
      const at = random.integer(1, 10);
      const loud = told((i) => (i === at ? 114 : stray[i]!)).verdict.touch!;
      if (loud.standing[0]?.onset === at) found++;
    }
    expect(blamed).toBeLessThanOrEqual(0.02 * takes);
    expect(found).toBeGreaterThanOrEqual(0.97 * takes);
  });
});

describe('chords and hands', () => {
  const note = (pitch: number, staff: number) => ({
    pitch,
    durationTicks: TICKS_PER_QUARTER / 2,
    part: 0,
    staff,
    voice: staff,
  });
  const onsets = PITCHES.map((pitch, i) => ({
    tick: (i * TICKS_PER_QUARTER) / 2,
    notes: [...(i % 2 === 0 ? [note(43, 2), note(50, 2)] : []), note(pitch - 5, 1), note(pitch, 1)],
  }));
  const both = { ...RUN, onsets };
  const levels = (of: (onset: number, staff: number, top: boolean) => number) => {
    const flat = onsets.flatMap(({ notes }, onset) =>
      notes.map(({ staff, pitch }) => of(onset, staff, pitch === PITCHES[onset])),
    );
    return (i: number) => flat[i]!;
  };

  it('may have the top note brought out, and the left hand softer than the right', () => {
    const voiced = levels((onset, staff, top) =>
      staff === 2 ? 48 : top ? 92 + (onset % 3) : 60 + (onset % 5),
    );
    expect(told(voiced, { run: both }).said).toMatch(/^Clean\.[^.]*\.$/);
  });

  it('have the hand named in which a note sticks out', () => {
    const left = levels((onset, staff, top) => (staff === 2 ? (onset === 4 ? 96 : 50) : top ? 92 : 60));
    const { verdict, said } = told(left, { run: both });
    expect(verdict.touch!.standing).toMatchObject([{ onset: 4, hand: 'left hand' }]);
    // By its own note, and not by the right hand's that stands over it.
    expect(said).toMatch(/D3, left hand, sticks out, 96 among 50/);
  });
});

describe('a line played by breath', () => {
  const at = perfect(RUN).map(({ onMicros }) => onMicros);
  /** A tongued note: the breath comes up within 30 ms and stays. */
  const breath = (
    make: (at: number, value: number) => PlayerEvent,
    level: (i: number) => number,
  ): PlayerEvent[] =>
    at.flatMap((on, i) => [
      make(on - 10_000, 20),
      make(on + 15_000, Math.round(0.8 * level(i))),
      make(on + 30_000, level(i)),
      make(on + 120_000, level(i) - 1),
    ]);
  const controller =
    (number: number) =>
    (when: number, value: number): PlayerEvent => ({
      type: 'controller',
      at: when,
      number,
      value,
      channel: 1,
    });
  const pressure = (when: number, value: number): PlayerEvent => ({
    type: 'other',
    at: when,
    bytes: [0xd0, value],
  });
  const sagging = (i: number) => (i === 7 ? 40 : around80(i));

  it('is told by breath controller, channel pressure or expression, whatever the velocity', () => {
    for (const make of [controller(2), pressure, controller(11)]) {
      const { verdict, said } = told((i) => (i === 2 ? 127 : 90), { events: breath(make, sagging) });
      expect(verdict.touch).toMatchObject({ by: 'breath', standing: [{ onset: 7 }] });
      expect(said).toMatch(/D5 drops out of the line, \d\d among \d\d: keep the air going through it\.$/);
    }
  });

  it('is by velocity where the controller stands still or only leans on a few notes', () => {
    const loud = (i: number) => (i === 5 ? 122 : around80(i));
    const still: PlayerEvent[] = [controller(11)(at[0]! - 500_000, 127)];
    const leaned = [pressure(at[3]! + 60_000, 90), pressure(at[4]! - 20_000, 0)];
    for (const events of [still, leaned]) {
      expect(told(loud, { events }).verdict.touch).toMatchObject({
        by: 'velocity',
        standing: [{ onset: 5 }],
      });
    }
  });
});
