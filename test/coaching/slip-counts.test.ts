// Which interval a slip is counted for. Lines and takes are written down by hand.

import { describe, expect, it } from 'vitest';
import { intervalFigures, type SurveyTake } from '../../src/coaching/interval-figures.ts';
import { slipCounts } from '../../src/coaching/slip-counts.ts';
import type { ExtraNote } from '../../src/matching/alignment.ts';
import { evenTimes, type HandTake, handVerdict } from './hand-verdict.ts';

const MS = 200;

/** Eight notes in time but for what is put at some indexes. */
function take(
  slips: Readonly<Record<number, 'wrong' | 'missed'>>,
  extras: readonly ExtraNote[] = [],
): SurveyTake {
  const times: HandTake['times'] = evenTimes(8, MS).map((time, i) => slips[i] ?? time);
  return { verdict: handVerdict({ times, expectedMs: MS, extras }) };
}

/** What is counted, by the onset where its interval begins. */
function counted(...takes: readonly SurveyTake[]) {
  const counts = slipCounts(takes, intervalFigures(takes, 8).intervals);
  return Object.fromEntries(
    counts.flatMap(({ kinds }, from) => (kinds.size > 0 ? [[from, Object.fromEntries(kinds)]] : [])),
  );
}

const extra = (before: number, kind: ExtraNote['kind'] = 'extra', played = 20): ExtraNote => ({
  played,
  kind,
  before,
});

describe('a slip', () => {
  it('is counted for the interval that leads to it, and on the first note for the one that begins there', () => {
    expect(counted(take({ 3: 'wrong' }), take({ 3: 'missed' }), take({ 3: 'wrong' }))).toEqual({
      2: { 'wrong notes': 2, 'missed notes': 1 },
    });
    expect(counted(take({ 0: 'wrong' }))).toEqual({ 0: { 'wrong notes': 1 } });
    expect(counted(take({}, [extra(4, 'blip')]))).toEqual({ 3: { blips: 1 } });
    expect(counted(take({}, [extra(5)]))).toEqual({ 4: { 'extra notes': 1 } });
  });

  it('is not counted once the take was over, within an ornament, or past the end', () => {
    expect(counted(take({ 5: 'missed', 6: 'missed', 7: 'missed' }))).toEqual({});
    expect(counted(take({}, [extra(4, 'ornament')]))).toEqual({});
    expect(counted(take({}, [extra(8)]))).toEqual({});
    // But of a last chord one note may be lacking.
    const { verdict } = take({});
    const lacking = {
      ...verdict,
      notes: [...verdict.notes, { onset: 7, note: 1, verdict: 'missed' } as const],
    };
    expect(counted({ verdict: lacking })).toEqual({ 6: { 'missed notes': 1 } });
  });

  it('may be a stop', () => {
    const stopped = { verdict: handVerdict({ times: evenTimes(8, MS, { 4: 150 }), expectedMs: MS }) };
    expect(counted(stopped, take({}))).toEqual({ 4: { hesitant: 1 } });
  });

  it('is weighed against the takes that came so far', () => {
    const takes = [take({}), take({ 5: 'missed', 6: 'missed', 7: 'missed' })];
    const counts = slipCounts(takes, intervalFigures(takes, 8).intervals);
    expect(counts.map((one) => one.takes)).toEqual([2, 2, 2, 2, 1, 1, 1]);
    expect(counts.every(({ any }) => any === 0)).toBe(true);
    // One take with two kinds is one take.
    const both = [take({ 3: 'wrong' }, [extra(3, 'blip')])];
    expect(slipCounts(both, intervalFigures(both, 8).intervals)[2]).toMatchObject({ any: 1, takes: 1 });
  });
});

describe('going back', () => {
  it('is laid half to the last note tried and half to the one after it, where the notes are not known', () => {
    const tried = [extra(2, 'restart', 2), extra(2, 'restart', 3)];
    expect(counted(take({}, tried))).toEqual({ 2: { restarts: 0.5 }, 3: { restarts: 0.5 } });
    // Two notes of a chord are one onset.
    const { verdict } = take({}, tried);
    const chord = { onset: 2, note: 1, verdict: 'right', played: 9 } as const;
    const chords = { verdict: { ...verdict, notes: [...verdict.notes, chord] } };
    expect(counted(chords)).toEqual({ 1: { restarts: 0.5 }, 2: { restarts: 0.5 } });
    // A grace note that was left out is none of them.
    const omitted = { onset: 2, note: 1, verdict: 'omitted' } as const;
    expect(counted({ verdict: { ...verdict, notes: [...verdict.notes, omitted] } })).toEqual({
      2: { restarts: 0.5 },
      3: { restarts: 0.5 },
    });
    // At most to the end.
    const end = [3, 4, 5].map((played) => extra(6, 'restart', played));
    expect(counted(take({}, end))).toEqual({ 6: { restarts: 0.5 } });
  });

  it('counts as one slip together with a note added on the way', () => {
    const tried = [extra(2, 'restart', 2), extra(2, 'extra', 3)];
    expect(counted(take({}, tried))).toEqual({ 2: { restarts: 0.5 }, 3: { restarts: 0.5 } });
  });

  // The line is C D E F G A B c; the try began at the E (onset 2).
  const pitches = [60, 62, 64, 65, 67, 69, 71, 72];
  const tripped = (line: readonly (readonly number[])[], ...strokes: readonly (readonly number[])[]) => {
    const notes = strokes.flatMap((stroke, i) =>
      stroke.map((pitch, k) => ({ pitch, onMicros: 400_000 + 200_000 * i + 10_000 * k, velocity: 80 })),
    );
    const extras = notes.map((_, i) => extra(2, 'restart', i));
    const onsets = line.map((chord, i) => ({
      tick: i * 100,
      notes: chord.map((pitch) => ({ pitch, durationTicks: 100 })),
    }));
    return counted({ ...take({}, extras), onsets, played: notes });
  };
  const single = pitches.map((pitch) => [pitch]);

  it('is laid to the note after the last right one, or to the wrong one', () => {
    expect(tripped(single, [64], [65])).toEqual({ 3: { restarts: 1 } });
    expect(tripped(single, [64], [66])).toEqual({ 2: { restarts: 1 } });
    expect(tripped(single, [63])).toEqual({ 1: { restarts: 1 } });
  });

  it('forgives a note left out on the way and not at its end, even where the next one was struck', () => {
    // E, the F left out, G, and then A: the B was not ready.
    expect(tripped(single, [64], [67], [69])).toEqual({ 5: { restarts: 1 } });
    expect(tripped(single, [64], [67])).toEqual({ 2: { restarts: 1 } });
    // Wrong on the way and nothing left out.
    expect(tripped(single, [64], [66], [67])).toEqual({ 4: { restarts: 1 } });
  });

  it('takes notes struck together for one chord, half of which is enough to know it', () => {
    const chords = pitches.map((pitch) => [pitch - 12, pitch]);
    expect(tripped(chords, [52, 64], [53, 65])).toEqual({ 3: { restarts: 1 } });
    expect(tripped(chords, [52, 64], [53, 66])).toEqual({ 2: { restarts: 1 } });
    // Of the chord one note is right: it is that one, and the next is not left out.
    expect(tripped(chords, [52, 64], [53, 67], [55, 67])).toEqual({ 4: { restarts: 1 } });
    expect(tripped(chords, [52, 64], [55, 66], [57, 69])).toEqual({ 5: { restarts: 1 } });
  });
});

describe('a note struck twice', () => {
  const onsets = [60, 62, 64, 65, 67, 69, 71, 72].map((pitch, i) => ({
    tick: i * 100,
    notes: [
      { pitch: pitch - 12, durationTicks: 100 },
      { pitch, durationTicks: 100 },
    ],
  }));
  /** Before onset 4, which is due 200 ms after the one before. */
  const struck = (pitch: number, ms: number, before = 4) => {
    const note = { pitch, onMicros: (200 * (before - 1) + ms) * 1000, velocity: 80 };
    return counted({ ...take({}, [extra(before, 'extra', 0)]), onsets, played: [note] });
  };

  it('counts as a stop where it came in its time, and as a note too many where it came earlier or later', () => {
    expect(struck(67, 200)).toEqual({ 4: { restarts: 1 } });
    expect(struck(67, 150)).toEqual({ 4: { restarts: 1 } });
    expect(struck(67, 149)).toEqual({ 3: { 'extra notes': 1 } });
    expect(struck(67, 300)).toEqual({ 4: { restarts: 1 } });
    expect(struck(67, 301)).toEqual({ 3: { 'extra notes': 1 } });
    // Another note than the one that was due, or before the first, where there is no time.
    expect(struck(66, 200)).toEqual({ 3: { 'extra notes': 1 } });
    expect(struck(60, 200, 0)).toEqual({ 0: { 'extra notes': 1 } });
  });
});
