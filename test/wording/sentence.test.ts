import { describe, expect, it } from 'vitest';
import type { LateFingers } from '../../src/fingering/late-finger.ts';
import { align } from '../../src/matching/align.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import { spellingName, spellPitch } from '../../src/music/pitch.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { judge } from '../../src/take/judge.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { sentence } from '../../src/wording/sentence.ts';
import { line, perfect, take, ZERO_MICROS } from '../matching/takes.ts';

const name = (pitch: number): string => spellingName(spellPitch(pitch, 4));
const LINE = line([71, 75, 76, 78, 80], { pulse: 'click', zeroMicros: ZERO_MICROS });

function said(
  played: readonly PlayedNote[],
  expectation: Expectation = LINE,
  lateFingers?: LateFingers,
): string {
  const verdict = judge(expectation, played, align(expectation, played), { tolerance: TOLERANCES.steady });
  const expected = expectation.onsets.map((o) => o.notes.map((n) => name(n.pitch)));
  return sentence({ verdict, lateFingers }, { expected, ofPitch: name });
}

function later(index: number, ms: number): PlayedNote[] {
  return perfect(LINE).map((n, i) => (i < index ? n : { ...n, onMicros: n.onMicros + ms * 1000 }));
}

describe('the sentence', () => {
  it('says which interval, which way, how much and what next', () => {
    expect(said(later(2, -58))).toBe('Rushed D#5 to E5 by 58 ms (23 %): lean on the D#5.');
    expect(said(later(2, 58))).toBe('Dragged D#5 to E5 by 58 ms (23 %): leave the D#5 sooner.');
    expect(said(later(2, 640))).toBe(
      'Hesitated 640 ms before E5: play D#5 to E5 alone until it goes by itself.',
    );
  });

  it('has a short honest word for a clean take', () => {
    expect(said(later(2, 11).map((n) => ({ ...n, onMicros: n.onMicros + 4_000 })))).toBe(
      'Clean. Widest interval 11 ms off, 15 ms late on the click.',
    );
    expect(said(perfect(LINE))).toBe('Clean. Widest interval 0 ms off, on the click.');
  });

  it('names slips by the interval that leads into them', () => {
    const wrong = perfect(LINE).map((n, i) => (i === 1 ? { ...n, pitch: 74 } : n));
    expect(said(wrong)).toBe('Played D5 for D#5 after B4: play B4 to D#5 slowly.');
    expect(said(perfect(LINE).filter((_, i) => i !== 1))).toBe('Missed D#5 after B4: play B4 to D#5 slowly.');
    expect(said(perfect(LINE).slice(1))).toBe('Missed B4, the first note: hear it before you come in.');
    const blip = take([
      [0, 71],
      [230, 72, 20],
      [250, 75],
      [500, 76],
      [750, 78],
      [1000, 80],
    ]);
    expect(said(blip)).toBe('Blip C5 between B4 and D#5: move the fingers together.');
    expect(said(blip, LINE, { way: 'late', digits: ['left thumb'] })).toBe(
      'Blip C5 between B4 and D#5: the left thumb was late.',
    );
    expect(
      said(
        take([
          [0, 71],
          [125, 72],
          [250, 75],
          [500, 76],
          [750, 78],
          [1000, 80],
        ]),
      ),
    ).toBe('Added C5 between B4 and D#5: play only what is written there, slowly.');
  });

  it('tells a second key struck together with a note', () => {
    const two = [...perfect(LINE), ...take([[270, 76]])].sort((a, b) => a.onMicros - b.onMicros);
    expect(said(two)).toBe('E5 sounded with the D#5: play the D#5 alone and hear it.');
    const last = [...perfect(LINE), ...take([[1025, 82]])];
    expect(said(last)).toMatch(/^A#5 sounded with the G#5: play the G#5 alone/);
  });

  it('tells which of equal notes it means, and counts them', () => {
    const fours = line([71, 71, 71, 71, 75, 75, 75, 75]);
    const without = perfect(fours).filter((_, i) => i !== 2);
    expect(said(without, fours)).toBe('One B4 too few of 4: count them as you play.');
    const many = [...perfect(fours), ...take([[625, 71]])].sort((a, b) => a.onMicros - b.onMicros);
    expect(said(many, fours)).toBe('One B4 too many of 4: count them as you play.');
    const twice = [...perfect(LINE), ...take([[375, 75]])].sort((a, b) => a.onMicros - b.onMicros);
    expect(said(twice)).toMatch(/^Played D#5 twice, where it is written once/);
    const late = perfect(fours).map((note, i) =>
      i > 5 ? { ...note, onMicros: note.onMicros + 80_000 } : note,
    );
    expect(said(late, fours)).toMatch(
      /^Dragged the 2nd D#5 to the 3rd D#5 by \d+ ms .*: leave the 2nd D#5 sooner\.$/,
    );
    const alone = perfect(fours).map((note, i) =>
      i === 5 ? { ...note, onMicros: note.onMicros + 80_000 } : note,
    );
    expect(said(alone, fours)).toMatch(/^The 2nd D#5 alone came \d+ ms late/);
  });

  it('does not slow down a player with one interval a hair too long in an even line', () => {
    const verdict = judge(LINE, perfect(LINE), align(LINE, perfect(LINE)), { tolerance: TOLERANCES.steady });
    const names = { expected: LINE.onsets.map((o) => o.notes.map((n) => name(n.pitch))), ofPitch: name };
    const interval = { ...verdict.intervals[1]!, deviationMicros: 33_000 };
    const uneven = (sdMicros: number) =>
      sentence(
        { verdict: { ...verdict, clean: false, troubles: [{ kind: 'uneven', sdMicros, interval }] } },
        names,
      );
    expect(uneven(6_000)).toBe(
      'D#5 to E5 came out 33 ms long, the rest even to 6 ms: the same once more, and listen there.',
    );
    expect(uneven(20_000)).toMatch(/^Uneven, give or take 20 ms, most from D#5 to E5 .*: slower/);
  });

  it('says going back, running on, an octave and silence once each', () => {
    const back = take([
      [0, 71],
      [250, 75],
      [500, 76],
      [1500, 75],
      [1750, 76],
      [2000, 78],
      [2250, 80],
    ]);
    expect(said(back)).toBe('Went back to D#5 after 2 notes: keep going to the stop, then mend it.');
    expect(said([...perfect(LINE), ...take([[1250, 83]])])).toBe(
      'Ran on 1 note past the stop: stop on G#5 and hold it.',
    );
    expect(said(perfect(LINE).map((n) => ({ ...n, pitch: n.pitch - 12 })))).toBe(
      "Right, but all an octave too low: move it, or set the instrument's octave.",
    );
    expect(said([])).toBe('Nothing was played: come in after the lead-in.');
  });

  it('says so where the run was stopped for a slip that the whole take does not bear out', () => {
    const played = perfect(LINE);
    const verdict = judge(LINE, played, align(LINE, played), { tolerance: TOLERANCES.steady });
    const names = { expected: LINE.onsets.map((o) => o.notes.map((n) => name(n.pitch))), ofPitch: name };
    expect(sentence({ verdict, stoppedFor: { kind: 'wrong', onset: 1, atMicros: 0 } }, names)).toMatch(
      /^Heard a slip too soon; the whole take says: Clean\./,
    );
  });

  it('stays ASCII and short', () => {
    const takes = [later(1, -58), later(2, 640), later(0, 300), perfect(LINE).slice(2), []];
    for (const played of takes) {
      expect(said(played)).toMatch(/^[ -~]{1,110}$/);
    }
  });
});
