// What one more note may have been, and what each of these costs: beside the tests that play whole takes, where the
// cheapest of hundreds of such ways wins. The prices are those of evidence.ts; lines and notes are ours.

import { describe, expect, it } from 'vitest';
import {
  chordSurprise,
  EXTRA,
  fartherBackSurprise,
  GRACE,
  HINDSIGHT,
  intervalSurprise,
  LATE_MOST,
  MISSED,
  MISSED_MORE,
  missedSurprise,
  NEXT_PASSED_BY,
  ORNAMENT,
  ORNAMENT_AGAIN,
  PACE_PRIOR,
  PACE_WANDER,
  paceNoise,
  SHIFTED,
  TURNS_LEFT_OUT,
  unfinishedSurprise,
  WENT_BACK,
  WENT_BACK_FROM_SLIP,
  WRONG_MORE,
  wrongPitchSurprise,
} from '../../src/matching/evidence.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import { grow } from '../../src/matching/grow.ts';
import type { Growth } from '../../src/matching/growth.ts';
import { type Hypothesis, startHypothesis } from '../../src/matching/hypothesis.ts';
import { addFarJumps } from '../../src/matching/jumps.ts';
import { timetableOf } from '../../src/matching/timetable.ts';
import { line, take } from './takes.ts';
import { writtenLine } from './written.ts';

const [C, CIS, D, E, F, G, A, B] = [60, 61, 62, 64, 65, 67, 69, 71];

/** As in moves.ts. */
const PACE_DOUBTED = 0.05;

type Struck = readonly [ms: number, pitch: number];

// A letter is a sixteenth of 250 ms. A way is told with its slot: the number of the written note, from 0.

describe('an added note', () => {
  it('costs its price, anywhere in the line, and is not thought of where that is too much', async () => {
    const line = (await situation('C D E F')).went('right 0', 0, C);
    expect(line.ways(125, B).extra).toBe(cents(EXTRA));
    expect(line.ways(125, B, EXTRA)).toHaveProperty('extra');
    expect(line.ways(125, B, EXTRA - 0.01)).not.toHaveProperty('extra');
  });

  it('may have taken the time of the next note: the first of two that were added tells when that was', async () => {
    const lead = (await situation('C D E F G A B c D')).played(C, D, E, F, G, A, B, 72);
    // All in time, and then one note where the last is due and one after it.
    const twice = lead.went('extra', 2000, C).went('extra', 2250, E);
    expect(twice.hypothesis.extraAtMicros).toBe(lead.hypothesis.atMicros + 250_000);
    expect(twice.ways(2500, D)['right 8']).toBe(cents(SHIFTED));
    // Where neither was in time nothing is shifted: the note itself is twice as late as it should be.
    const early = lead.went('extra', 1800, C).went('extra', 1900, E);
    expect(early.ways(2250, D)['right 8']).toBe(cents(early.late(2250, 250)));
  });
});

describe('a trilled note', () => {
  it('may have its neighbours and itself again, the first of them dearer than the others', async () => {
    const trilled = (await situation('C TD E F')).went('right 0', 0, C).went('right 1', 250, D);
    for (const pitch of [C, CIS, D, 63, E]) expect(trilled.ways(310, pitch).ornament).toBe(cents(ORNAMENT));
    for (const pitch of [59, F]) {
      expect(trilled.ways(310, pitch)).toMatchObject({ extra: cents(EXTRA) });
      expect(trilled.ways(310, pitch)).not.toHaveProperty('ornament');
    }
    expect(trilled.went('ornament', 310, E).ways(370, D).ornament).toBe(cents(ORNAMENT_AGAIN));
    expect(trilled.went('extra', 310, G).ways(370, D).ornament).toBe(cents(ORNAMENT));
  });

  it('lasts a quarter longer than written and no more', async () => {
    const trilled = (await situation('C TD A B')).went('right 0', 0, C).went('right 1', 250, D);
    expect(trilled.ways(250 + 312, E)).toHaveProperty('ornament');
    expect(trilled.ways(250 + 313, E)).not.toHaveProperty('ornament');
    // Through the next note, where it is longer than the time up to that.
    const under = (await situation('V:1\nC TD2 z\nV:2\nz2 A, B,'))
      .went('right 0', 0, C)
      .went('right 1', 250, D);
    const other = under.went('right 2', 500, 57);
    expect(other.ways(600, E).ornament).toBe(cents(ORNAMENT));
  });

  it('is hardly meant by a note that is the next one, in its time', async () => {
    const trilled = (await situation('C TD E F')).went('right 0', 0, C).went('right 1', 250, D);
    const passedBy = cents(ORNAMENT + NEXT_PASSED_BY);
    // A quarter of the interval before it is due, or a tenth of a second where that is less.
    expect(trilled.ways(437, E).ornament).toBe(cents(ORNAMENT));
    expect(trilled.ways(438, E).ornament).toBe(passedBy);
    expect(trilled.ways(438, D).ornament).toBe(cents(ORNAMENT));
    const long = (await situation('C TD8 E F')).went('right 0', 0, C).went('right 1', 250, D);
    expect(long.ways(2149, E).ornament).toBe(cents(ORNAMENT));
    expect(long.ways(2150, E).ornament).toBe(passedBy);
    // A grace note of that pitch is no next note, and after the last note there is none.
    const graced = (await situation('C TD {E}A B')).went('right 0', 0, C).went('right 1', 250, D);
    expect(graced.ways(440, E).ornament).toBe(cents(ORNAMENT));
    const last = (await situation('C TD')).went('right 0', 0, C).went('right 1', 250, D);
    expect(last.ways(440, E).ornament).toBe(cents(ORNAMENT));
    const chord = (await situation('C TD [CE]')).went('right 0', 0, C).went('right 1', 250, D);
    expect(chord.ways(440, E).ornament).toBe(passedBy);
  });

  it('may begin with its neighbour before its time, in the second half and the last fifth of a second', async () => {
    const trilled = (await situation('C TD E F')).went('right 0', 0, C);
    expect(trilled.ways(124, E)).not.toHaveProperty('ornament');
    expect(trilled.ways(125, E).ornament).toBe(cents(ORNAMENT));
    expect(trilled.ways(125, D)).not.toHaveProperty('ornament');
    expect(trilled.ways(125, F)).not.toHaveProperty('ornament');
    const long = (await situation('C8 TD E F')).went('right 0', 0, C);
    expect(long.ways(1799, E)).not.toHaveProperty('ornament');
    expect(long.ways(1800, E).ornament).toBe(cents(ORNAMENT));
    // Before a first note there is no time to tell.
    expect((await situation('TD E F')).ways(0, E).ornament).toBe(cents(ORNAMENT));
    expect((await situation('TD E F')).ways(0, G)).not.toHaveProperty('ornament');
    // After the last note there is nothing to begin.
    expect(
      (await situation('C TD')).went('right 0', 0, C).went('right 1', 250, D).ways(600, E),
    ).not.toHaveProperty('ornament');
  });

  it('that begins before its time is timed by its beginning, and goes on at less', async () => {
    const lead = (await situation('C D E F G A B TD E')).played(C, D, E, F, G, A, B);
    const begun = lead.went('ornament', 1740, C);
    expect(begun.hypothesis.ornamentAtMicros - begun.hypothesis.atMicros).toBe(240_000);
    expect(begun.went('ornament', 1760, E).hypothesis.ornamentAtMicros).toBe(
      begun.hypothesis.ornamentAtMicros,
    );
    expect(begun.ways(1760, E).ornament).toBe(cents(ORNAMENT_AGAIN));
    expect(begun.went('extra', 1750, G).ways(1760, E).ornament).toBe(cents(ORNAMENT_AGAIN));
    const note = begun.went('right 7', 1800, D);
    expect(note.hypothesis.atMicros).toBe(begun.hypothesis.ornamentAtMicros);
    expect(note.cost - begun.cost).toBeCloseTo(lead.late(1740, 250), 6);
  });
});

describe('a note of a chord', () => {
  it('costs how far it stands from the one before it, each written one once', async () => {
    const chord = (await situation('[CEG] [DFA]')).went('right 0', 0, C);
    expect(chord.ways(30, E)['right 1']).toBe(cents(chordSurprise(30_000)));
    expect(chord.went('right 1', 30, E).ways(50, G)['right 2']).toBe(cents(chordSurprise(20_000)));
    expect(chord.went('right 1', 30, E).ways(50, E)).not.toHaveProperty('right 1');
    expect(chord.went('extra', 30, B).ways(50, G)['right 2']).toBe(cents(chordSurprise(50_000)));
    const surprise = chordSurprise(30_000);
    expect(chord.ways(30, E, surprise)).toHaveProperty('right 1');
    expect(chord.ways(30, E, surprise - 0.001)).not.toHaveProperty('right 1');
  });

  it('may be wrong, with the others or soon after; a chord misread is one slip', async () => {
    const chord = (await situation('[CEG] [DFA]')).went('right 0', 0, C);
    expect(chord.ways(0, F)).toMatchObject({
      'wrong 1': cents(wrongPitchSurprise(E, F)),
      'wrong 2': cents(wrongPitchSurprise(G, F)),
    });
    expect(chord.went('wrong 1', 0, F).ways(0, A)['wrong 2']).toBe(cents(WRONG_MORE));
    expect(chord.ways(200, F)).toHaveProperty('wrong 1');
    expect(chord.ways(201, F)).not.toHaveProperty('wrong 1');
    // A right one may come as late as it likes.
    expect(chord.ways(240, E)['right 1']).toBe(cents(Math.min(chordSurprise(240_000), LATE_MOST)));
  });

  it('of a second voice on the same key follows the first one, and is never wrong', async () => {
    const twins = (await situation('V:1\n[CE] F\nV:2\nC A,')).went('right 2', 0, E);
    expect(twins.ways(5, C)).toHaveProperty('right 0');
    expect(twins.ways(5, C)).not.toHaveProperty('right 1');
    expect(twins.went('right 0', 5, C).ways(10, C)).toHaveProperty('right 1');
    expect(twins.went('right 0', 5, C).ways(10, D)).not.toHaveProperty('wrong 1');
  });

  it('that was left behind costs its lateness and not its absence when it comes', async () => {
    const line = (await situation('[CE] F')).went('right 0', 0, C).went('right 2', 150, F);
    const [late] = line.hypothesis.open;
    expect(line.hypothesis.open).toHaveLength(1);
    expect(late).toMatchObject({ slot: 1, price: MISSED });
    const now = line.went('right 1', 160, E);
    expect(now.hypothesis.open).toEqual([]);
    expect(now.hypothesis.pending).toBeCloseTo(0, 9);
    // As if it had come in its own chord.
    expect(now.cost - line.cost + line.hypothesis.pending).toBeCloseTo(chordSurprise(160_000), 6);
    expect(line.ways(160, D)).not.toHaveProperty('right 1');
    // When it is too late to come it is lost, whatever comes then.
    const gone = line.went('extra', 600, B);
    expect(gone.cost - line.cost).toBeCloseTo(EXTRA + MISSED - line.hypothesis.pending, 6);
    expect(gone.hypothesis).toMatchObject({ open: [], pending: 0, lost: 1 });
    expect(line.hypothesis.lost).toBe(0);
    // Of two the other one is still to come.
    const two = (await situation('[CEG] F')).went('right 0', 0, C).went('right 3', 100, F);
    expect(two.hypothesis.open.map(({ slot }) => slot)).toEqual([1, 2]);
    expect(two.went('right 2', 110, G).hypothesis.open.map(({ slot }) => slot)).toEqual([1]);
  });
});

describe('a grace note', () => {
  it('before the next note costs little, each once, and is over with its note', async () => {
    const graced = (await situation('C {EF}D A')).went('right 0', 0, C);
    // The notes of an onset are told from the lowest: D, E and F.
    expect(graced.ways(150, E)['right 2']).toBe(cents(GRACE));
    expect(graced.ways(150, E, GRACE)).toHaveProperty('right 2');
    expect(graced.ways(150, E, GRACE - 0.01)).not.toHaveProperty('right 2');
    const one = graced.went('right 2', 150, E);
    expect(one.ways(200, E)).not.toHaveProperty('right 2');
    expect(one.ways(200, F)['right 3']).toBe(cents(GRACE));
    const both = one.went('right 3', 200, F);
    expect(both.ways(210, E)).not.toHaveProperty('right 2');
    expect(both.ways(210, F)).not.toHaveProperty('right 3');
    // Played ahead, they are no longer to come when their note is reached.
    const note = both.went('right 1', 250, D);
    expect(note.ways(260, E)).not.toHaveProperty('right 2');
    expect(note.hypothesis.aheadOnset).toBe(-1);
    expect(one.went('right 1', 250, D).ways(260, F)['right 3']).toBe(cents(chordSurprise(10_000)));
    expect(graced.ways(150, D)).not.toHaveProperty('right 2');
  });

  it('tells when the next note began, the first of two', async () => {
    const lead = (await situation('C D E F G A {EF}D A')).played(C, D, E, F, G, A);
    const one = lead.went('right 7', 1490, E);
    const both = one.went('right 8', 1550, F);
    expect(one.hypothesis.ornamentAtMicros - lead.hypothesis.atMicros).toBe(240_000);
    expect(both.hypothesis.ornamentAtMicros).toBe(one.hypothesis.ornamentAtMicros);
    expect(both.went('right 6', 1600, D).cost - both.cost).toBeCloseTo(lead.late(1490, 250), 6);
  });

  it('of a note further on comes at most 0.3 s early and four onsets ahead', async () => {
    const graced = (await situation('C D {F}E A')).went('right 0', 0, C);
    expect(graced.ways(199, F)).not.toHaveProperty('right 3');
    expect(graced.ways(200, F)['right 3']).toBe(cents(ORNAMENT));
    // It says nothing of when the next note begins.
    expect(graced.went('right 3', 200, F).hypothesis.ornamentAtMicros).toBe(-1);
    expect(graced.went('right 3', 200, F).went('right 1', 250, D).hypothesis.aheadOnset).toBe(2);
    const quick = async (between: string, ms: number) =>
      (await situation(`C ${between} {f}E A`)).went('right 0', 0, C).ways(ms, 77);
    // A tenth of a second before its note both times; with 32nd notes in between it is the fourth onset or the fifth.
    expect(await quick('D/ G/ A/', 525)).toMatchObject({ 'right 5': cents(ORNAMENT) });
    expect(await quick('D/ G/ A/ B/', 650)).not.toHaveProperty('right 6');
    // Before the first note nothing says how near it is.
    expect((await situation('D {F}E A')).ways(0, F)).not.toHaveProperty('right 2');
    expect((await situation('{F}E A')).ways(0, F)['right 1']).toBe(cents(GRACE));
  });
});

describe('a pace other than asked', () => {
  it('holds for ornaments and grace notes too', async () => {
    const slow = async (end: string) =>
      (await situation(`C D E F G A B ${end}`)).paced(2, C, D, E, F, G, A, B);
    // The trilled note lasts half a second and a quarter of it more, and its next note is due after half a second.
    const trilled = (await slow('TD E')).went('right 7', 3500, D);
    expect(trilled.ways(3500 + 500, C)).toHaveProperty('ornament');
    expect(trilled.ways(3500 + 700, C)).not.toHaveProperty('ornament');
    expect(trilled.ways(3500 + 300, E).ornament).toBe(cents(ORNAMENT));
    expect(trilled.ways(3500 + 450, E).ornament).toBe(cents(ORNAMENT + NEXT_PASSED_BY));
    // One that begins ahead does so in the last fifth of a second.
    expect((await slow('TD E')).ways(3000 + 200, E)).not.toHaveProperty('ornament');
    expect((await slow('TD E')).ways(3000 + 350, E)).toHaveProperty('ornament');
    const graced = await slow('D {F}E A');
    expect(graced.ways(3000 + 500, F)).not.toHaveProperty('right 9');
    expect(graced.ways(3000 + 800, F)).toHaveProperty('right 9');
  });

  it('holds for what is left out, for the clock and for a pause too', async () => {
    const lead = (await situation(`C D E F G A B ${'c d e '.repeat(6)}`)).paced(2, C, D, E, F, G, A, B);
    expect(lead.ways(3000 + 500, 74)['right 8']).toBeCloseTo(MISSED + SHIFTED, 1);
    expect(placesOf(lead, 19.8 * 500, 74)).toEqual([8, 11, 14, 17, 20]);
    const back = WENT_BACK + fartherBackSurprise(4);
    expect(lead.ways(3000 + 700, 64)['back 2']).toBe(cents(back + HINDSIGHT.wentBackAtOnce));
    expect(lead.ways(3000 + 740, 64)['back 2']).toBe(cents(back));
  });

  it('is heard from one interval after the other, the less the surer it is', async () => {
    const first = (await situation('C D E F')).went('right 0', 0, C);
    const noise = paceNoise(250_000);
    const before = PACE_PRIOR + PACE_WANDER;
    const gain = before / (before + noise);
    const { logPace, paceVariance } = first.went('right 1', 275, D).hypothesis;
    expect(logPace).toBeCloseTo(gain * Math.log(1.1), 9);
    expect(paceVariance).toBeCloseTo(before * (1 - gain), 9);
    // A first note held eight times too long is a hesitation even when nothing is known of the pace.
    expect(first.went('right 1', 2000, D).hypothesis.logPace).toBe(0);
    // The next one, at the same pace, moves it less and makes it surer.
    const next = first.went('right 1', 275, D).went('right 2', 550, E).hypothesis;
    expect(next.logPace).toBeGreaterThan(logPace);
    expect(next.logPace).toBeLessThan(Math.log(1.1));
    expect(next.paceVariance).toBeLessThan(paceVariance);
  });

  it('is doubted after a hesitation, and says nothing where a note was left out, added or adorned', async () => {
    const lead = (await situation('C D E F G A B c d')).played(C, D, E, F, G, A, B);
    const { logPace, paceVariance } = lead.hypothesis;
    const wandered = paceVariance + PACE_WANDER;
    const hesitated = lead.went('right 7', 1500 + 750, 72).hypothesis;
    expect(hesitated.logPace).toBe(logPace);
    const off = Math.log(3) - logPace;
    expect(hesitated.paceVariance).toBeCloseTo(wandered + PACE_DOUBTED * off * off, 9);
    // However early: no more than a fifth of the interval is believed.
    const early = lead.went('right 7', 1510, 72).hypothesis;
    const most = Math.log(0.2 * Math.exp(logPace)) - logPace;
    expect(early.paceVariance).toBeCloseTo(wandered + PACE_DOUBTED * most * most, 9);
    const skipped = lead.went('right 8', 1500 + 550, 74).hypothesis;
    const added = lead.went('extra', 1600, C).went('right 7', 1500 + 275, 72).hypothesis;
    const adorned = (await situation('C D E F G A B Tc d'))
      .played(C, D, E, F, G, A, B)
      .went('ornament', 1740, 74)
      .went('right 7', 1775, 72).hypothesis;
    for (const one of [skipped, added, adorned]) {
      expect(one.logPace).toBe(logPace);
      expect(one.paceVariance).toBeCloseTo(wandered, 12);
    }
  });
});

describe('the next note', () => {
  it('may be right or wrong, and nothing but its time costs where it is right', async () => {
    const lead = (await situation('C D E F G A B c d')).played(C, D, E, F, G, A, B);
    expect(lead.ways(1750, 72)).toEqual({ extra: cents(EXTRA + NEXT_PASSED_BY), 'right 7': 0 });
    expect(lead.ways(1900, 72)['right 7']).toBe(cents(lead.late(1900, 250)));
    expect(lead.ways(1750, 73)).toEqual({
      extra: cents(EXTRA),
      'wrong 7': cents(wrongPitchSurprise(72, 73)),
    });
    const wrong = lead.went('wrong 7', 1750, 73).hypothesis;
    expect([wrong.cursor, wrong.act, wrong.lost]).toEqual([7, 'wrong', 0]);
    // At the end there is no next one.
    expect((await situation('C')).went('right 0', 0, C).ways(250, D)).toEqual({ extra: cents(EXTRA) });
  });

  it('is not thought of where it would cost too much, for its pitch or its time', async () => {
    const lead = (await situation('C D E F G A B c d')).played(C, D, E, F, G, A, B);
    const slip = wrongPitchSurprise(72, 73);
    expect(lead.ways(1750, 73, slip + 1e-9)).toHaveProperty('wrong 7');
    expect(lead.ways(1750, 73, slip - 0.01)).not.toHaveProperty('wrong 7');
    const late = lead.late(1900, 250);
    expect(lead.ways(1900, 72, late)).toHaveProperty('right 7');
    expect(lead.ways(1900, 72, late - 0.01)).not.toHaveProperty('right 7');
  });
});

describe('a note further on', () => {
  it('costs what is left out, in its own time or with the time of that', async () => {
    const lead = (await situation('C D E F G A B c d e f')).played(C, D, E, F, G, A, B);
    expect(lead.ways(2000, 74)['right 8']).toBe(cents(MISSED));
    expect(lead.ways(1750, 74)['right 8']).toBe(cents(MISSED + SHIFTED));
    expect(lead.ways(2250, 76)['right 9']).toBe(cents(MISSED + MISSED_MORE));
    expect(lead.went('right 9', 2250, 76).hypothesis.lost).toBe(2);
  });

  it('costs one slip with the rest of an unfinished chord before it', async () => {
    const chord = (await situation('[CE] F G')).went('right 0', 0, C);
    expect(chord.ways(250, F)['right 2']).toBe(cents(MISSED));
    expect(chord.ways(500, G)['right 3']).toBe(cents(MISSED + MISSED_MORE));
    expect(chord.went('right 3', 500, G).hypothesis.lost).toBe(2);
    const six = (await situation('[CEGceg] F')).went('right 0', 0, C);
    expect(six.ways(250, F)['right 6']).toBe(cents(unfinishedSurprise(5)));
  });

  it('leaves open for a fifth of a second what may still come', async () => {
    const chord = (await situation('[CE] F G')).went('right 0', 0, C);
    const open = (ms: number) => chord.went('right 2', ms, F).hypothesis;
    expect(open(200).open).toMatchObject([{ slot: 1, price: MISSED, dueMicros: chord.hypothesis.atMicros }]);
    expect(open(200).pending).toBeCloseTo(Math.min(MISSED, chordSurprise(200_000)), 9);
    expect(open(200).lost).toBe(0);
    expect(open(201).open).toEqual([]);
    expect(open(201).lost).toBe(1);
    // A note skipped in quick music, due an eighth of a second before: its price is that of skipping it.
    const quick = (await situation('C/ D/ E/ F/')).went('right 0', 0, C).went('right 2', 250, E).hypothesis;
    expect(quick.open).toMatchObject([{ slot: 1, price: MISSED }]);
    expect(quick.open[0]!.dueMicros).toBeCloseTo(quick.atMicros - 125_000, 0);
    // Both: the chord's note was due with the chord, the skipped ones where they stand, each for its share.
    const both = (await situation('[CE]/4 F/4 G/4 A/4'))
      .went('right 0', 0, C)
      .went('right 4', 190, A).hypothesis;
    expect(both.open.map(({ slot, price }) => [slot, cents(price)])).toEqual([
      [3, cents(MISSED_MORE)],
      [2, cents(MISSED_MORE)],
      [1, cents(MISSED)],
    ]);
    // What was played before the last note is not among them.
    const later = (await situation('C/4 D/4 E/4 F/4 G'))
      .went('right 0', 0, C)
      .went('right 1', 62, D)
      .went('right 3', 187, F).hypothesis;
    expect(later.open.map(({ slot }) => slot)).toEqual([2]);
    const oneEach = (await situation('[CE]/4 F/4 G'))
      .went('right 0', 0, C)
      .went('right 3', 125, G).hypothesis;
    expect(oneEach.open.map(({ slot }) => slot)).toEqual([2, 1]);
    // One more is left behind beside what already was.
    const more = (await situation('[CE]/ [FA]/ G/ B/'))
      .went('right 0', 0, C)
      .went('right 2', 100, F)
      .went('right 4', 150, G).hypothesis;
    expect(more.open.map(({ slot }) => slot)).toEqual([1, 3]);
    expect(more.lost).toBe(0);
  });

  it('is one of the next three of its pitch, or where the clock says that the player should be', async () => {
    const line = `C D E F G A B ${'c d e '.repeat(6)}`;
    const lead = (await situation(line)).played(C, D, E, F, G, A, B);
    const places = (ms: number) => placesOf(lead, ms, 74);
    // The d stands at 8, 11, 14, 17, 20 and 23.
    expect(places(2000)).toEqual([8, 11, 14]);
    expect(places(20 * 250)).toEqual([8, 11, 14, 17, 20]);
    expect(places(19 * 250)).toEqual([8, 11, 14, 17, 20]);
    expect(places(21 * 250)).toEqual([8, 11, 14, 20, 23]);
    expect(places(60 * 250)).toEqual([8, 11, 14, 23]);
    // Before the first note no clock runs.
    const start = await situation(line);
    expect(Object.keys(start.ways(5000, 74))).toEqual([
      'extra',
      'right 8',
      'right 11',
      'right 14',
      'wrong 0',
    ]);
  });

  it('costs half a slip for the turns of a quick tremolo, however many up to seven', async () => {
    // Twelve notes of 62 ms, turn by turn.
    const turns = 'c/4d/4'.repeat(6);
    const begun = (await situation(`C D E F G A B ${turns} e`))
      .played(C, D, E, F, G, A, B)
      .went('right 7', 1750, 72);
    const cost = (turn: number, from = begun) => from.ways(1750 + turn * 62.5, 74)[`right ${7 + turn}`];
    expect([3, 5, 9].map((turn) => cost(turn))).toEqual(Array(3).fill(cents(TURNS_LEFT_OUT)));
    expect(cost(11)).toBeGreaterThan(MISSED);
    // The same note again is no turn, and what comes after is of neither.
    expect(begun.ways(1750 + 4 * 62.5, 72)['right 11']).toBeGreaterThan(MISSED);
    expect(begun.ways(1750 + 12 * 62.5, 76)['right 19']).toBeGreaterThan(MISSED);
    const slow = (await situation('C D E F G A B c d c d c d e'))
      .played(C, D, E, F, G, A, B)
      .went('right 7', 1750, 72);
    expect(slow.ways(1750 + 3 * 250, 74)['right 10']).toBe(cents(MISSED + MISSED_MORE));
  });

  it('after an ornament that ended long before is the later for it: that was an added note', async () => {
    const trilled = (await situation('C D E F G A B TD E'))
      .played(C, D, E, F, G, A, B)
      .went('ornament', 1700, E);
    const begun = trilled.hypothesis.ornamentAtMicros;
    const time = (ms: number) => trilled.went('right 7', ms, D);
    expect(time(2000).hypothesis.atMicros).toBe(begun);
    expect(time(2000).cost - trilled.cost).toBeCloseTo(trilled.late(1700, 250), 6);
    expect(time(2001).cost - trilled.cost).toBeCloseTo(trilled.late(1700, 250) + EXTRA - ORNAMENT, 6);
    // After the note's own ornament the next note may be as late as it likes.
    const after = (await situation('C D E F G A B TD E'))
      .played(C, D, E, F, G, A, B)
      .went('right 7', 1750, D);
    const turned = after.went('ornament', 1800, E);
    expect(turned.went('right 8', 2150, E).cost - turned.cost).toBeCloseTo(after.late(2150, 250), 6);
  });

  it('is timed by itself where the ornament before it began too early and it came in time', async () => {
    const lead = (await situation('C D E F G A B TD E')).played(C, D, E, F, G, A, B);
    const begun = lead.went('ornament', 1640, E);
    const note = begun.went('right 7', 1750, D);
    expect(note.cost).toBeCloseTo(begun.cost, 9);
    expect(note.hypothesis.atMicros).toBe(lead.hypothesis.atMicros + 250_000);
  });
});

describe('going back', () => {
  it('costs more at once than after a pause, and less after a slip and a pause', async () => {
    const lead = (await situation('C D E F G A B c d')).played(C, D, E, F, G, A, B);
    const onset = (ms: number, from = lead) => from.ways(ms, E)['back 2'];
    const far = fartherBackSurprise(4);
    // A pause is a quarter of a step and a tenth of a second longer than the step.
    expect(onset(1500 + 412)).toBe(cents(WENT_BACK + HINDSIGHT.wentBackAtOnce + far));
    expect(onset(1500 + 413)).toBe(cents(WENT_BACK + far));
    const added = lead.went('extra', 1600, CIS);
    expect(onset(1600 + 300, added)).toBe(cents(WENT_BACK + HINDSIGHT.wentBackAtOnce + far));
    expect(onset(1600 + 500, added)).toBe(cents(WENT_BACK_FROM_SLIP + far));
    const wrong = lead.went('wrong 7', 1750, 73);
    expect(onset(1750 + 500, wrong)).toBe(cents(WENT_BACK_FROM_SLIP + fartherBackSurprise(5)));
    expect(lead.ways(2500, E, WENT_BACK + far)).toHaveProperty('back 2');
    expect(lead.ways(2500, E, WENT_BACK + far - 0.01)).not.toHaveProperty('back 2');
    expect(lead.ways(2500, B)['back 6']).toBe(cents(WENT_BACK));
  });

  it('begins a new try: nothing of the one before is left open', async () => {
    const chord = (await situation('[CE] F G')).went('right 0', 0, C).went('right 2', 100, F);
    const back = chord.went('back 0', 150, C).hypothesis;
    expect(back).toMatchObject({ wentBack: true, cursor: 0, open: [], pending: 0 });
    expect((await situation('C D')).went('right 0', 0, C).ways(900, C)['back 0']).toBe(cents(WENT_BACK));
  });

  it('leads twelve onsets back at most, or to the beginning', async () => {
    const pitches = Array.from({ length: 16 }, (_, i) => 60 + i);
    const line = 'C ^C D ^D E F ^F G ^G A ^A B =c ^c =d ^d e';
    const lead = (await situation(line)).played(...pitches);
    expect(lead.ways(5000, 63)).toHaveProperty('back 3');
    expect(lead.ways(5000, 62)).not.toHaveProperty('back 2');
    expect(lead.ways(5000, 60)).toHaveProperty('back 0');
    // To the beginning even where the note stands once more between the two.
    const twice = (await situation(line.replace('D ^D', 'D =C'))).played(...pitches.with(3, 60));
    expect(Object.keys(twice.ways(5000, 60)).filter((way) => way.startsWith('back'))).toEqual([
      'back 3',
      'back 0',
    ]);
  });

  it('is told from going on by the pause, at the end of the line too', async () => {
    const end = (await situation('C D E F2')).played(C, D, E, F);
    const at = (ms: number) => end.ways(750 + ms, D)['back 1'];
    const back = WENT_BACK + fartherBackSurprise(2);
    expect(at(412)).toBe(cents(back + HINDSIGHT.wentBackAtOnce));
    expect(at(413)).toBe(cents(back));
  });

  it('or on anywhere: every place of the note but those that are near enough to be thought of anyhow', async () => {
    // The C stands at 0, 5, 10 ... 45; all else is different.
    const between = Array.from({ length: 50 }, (_, i) => (i % 5 === 0 ? C : 61 + i));
    const lead = after(line(between), startHypothesis(), []).played(...between.slice(0, 28));
    const jumps = lead.anywhere(7000, C);
    // From 27, twelve back and three on are near.
    expect(jumps.map(({ cursor }) => cursor)).toEqual([0, 5, 10, 35, 40, 45]);
    const [, back] = jumps;
    expect(back!.cost - lead.cost).toBeCloseTo(WENT_BACK + fartherBackSurprise(22), 9);
    expect(back).toMatchObject({ wentBack: true, lost: 0, jumpedAt: 28, jumpedCost: back!.cost });
    const on = jumps[3]!;
    expect(on.cost - lead.cost).toBeCloseTo(
      LATE_MOST + missedSurprise({ count: 7, onsets: 7 }, HINDSIGHT),
      9,
    );
    expect(on).toMatchObject({ wentBack: false, act: 'right', slot: 35, lost: 7, jumpedAt: 28 });
    // At the very edges of what is near.
    expect(lead.anywhere(7000, between[15 + 1]!)).toEqual([]);
    const [ahead, behind] = [between[31]!, between[14]!];
    expect(lead.anywhere(7000, ahead).map(({ cursor }) => cursor)).toEqual([31]);
    expect(lead.anywhere(7000, behind).map(({ cursor }) => cursor)).toEqual([14]);
    expect(lead.anywhere(7000, between[29]!)).toEqual([]);
  });
});

// Helpers

/** A line, a hypothesis of what was played so far, and what may come of one more note. */
interface Situation {
  /** The way that a note took: such as "right 2" (the slot) or "extra". */
  went(way: string, ms: number, pitch: number): Situation;
  /** What each way would cost besides, to the cent. */
  ways(ms: number, pitch: number, limit?: number): Record<string, number>;
  /** All these, each exactly in time. */
  played(...pitches: readonly number[]): Situation;
  /** All these, so much slower than asked. */
  paced(slower: number, ...pitches: readonly number[]): Situation;
  /** The surprise at the next note where it comes at a time and should take so long, both in milliseconds. */
  late(ms: number, shouldTakeMs: number): number;
  /** Where else in the line it may be, far away. */
  anywhere(ms: number, pitch: number): Hypothesis[];
  readonly hypothesis: Hypothesis;
  readonly cost: number;
}

/** Before the first note of a line. */
async function situation(abc: string): Promise<Situation> {
  return after(await writtenLine(abc), startHypothesis(), []);
}

function after(written: Expectation, hypothesis: Hypothesis, struck: readonly Struck[]): Situation {
  const timetable = timetableOf(written);
  const made = (
    ways: (hypothesis: Hypothesis, growth: Growth) => void,
    [ms, pitch]: Struck,
    limit: number,
  ): Hypothesis[] => {
    const notes = take([...struck, [ms, pitch]]);
    const all: Hypothesis[] = [];
    ways(hypothesis, {
      timetable,
      note: notes.at(-1)!,
      played: struck.length,
      previousMicros: (notes.at(-2) ?? notes.at(-1)!).onMicros,
      previousPitch: (notes.at(-2) ?? notes.at(-1)!).pitch,
      jumps: HINDSIGHT,
      before: hypothesis,
      pace: 1,
      limit: hypothesis.cost + limit,
      add: (one) => all.push(one),
    });
    return all;
  };
  const grown = (ms: number, pitch: number, limit: number) => made(grow, [ms, pitch], limit);
  return {
    hypothesis,
    cost: hypothesis.cost,
    anywhere: (ms, pitch) => made(addFarJumps, [ms, pitch], 100),
    played(...pitches) {
      return this.paced(1, ...pitches);
    },
    paced(slower, ...pitches) {
      const [first, ...others] = pitches;
      if (first === undefined) return this;
      const number = struck.length;
      return this.went(`right ${number}`, 250 * slower * number, first).paced(slower, ...others);
    },
    late: (ms, shouldTakeMs) =>
      intervalSurprise(take([[ms, 60]])[0]!.onMicros - hypothesis.atMicros, shouldTakeMs * 1000, {
        paceSd: Math.sqrt(hypothesis.paceVariance),
        singleLine: timetable.singleLine,
      }),
    went(way, ms, pitch) {
      const next = grown(ms, pitch, 100).find((one) => nameOf(one) === way);
      if (!next) throw new Error(`There is no way "${way}"`);
      return after(written, next, [...struck, [ms, pitch]]);
    },
    ways: (ms, pitch, limit = 100) =>
      Object.fromEntries(
        grown(ms, pitch, limit).map((one) => [nameOf(one), cents(one.cost - hypothesis.cost)]),
      ),
  };
}

function nameOf({ act, slot, wentBack }: Hypothesis): string {
  return slot < 0 ? act : `${wentBack ? 'back' : act} ${slot}`;
}

/** The written notes that it may be rightly. */
function placesOf(from: Situation, ms: number, pitch: number): number[] {
  const right = Object.keys(from.ways(ms, pitch)).filter((way) => way.startsWith('right'));
  return right.map((way) => Number(way.slice(6)));
}

function cents(cost: number): number {
  return Math.round(cost * 100) / 100;
}
