// One small take for each approximation and each correction of the matching that README.md lists: without the pass it is
// told wrongly. Music and takes are ours.

import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import { alignmentSoFar, follow, heardSoFar, passTime, startFollowing } from '../../src/matching/follow.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { followAll } from './drawn.ts';
import { later, line, perfect, take, verdicts, wandering } from './takes.ts';
import { writtenLine, writtenTake } from './written.ts';

/** Verdicts by written note, and the played notes that belong nowhere. */
function whenOver(expectation: Expectation, played: readonly PlayedNote[]) {
  const { notes, extras } = align(expectation, played);
  return [verdicts(notes), ...extras.map(({ kind, played }) => `${kind} ${played}`)];
}

function whilePlayed(expectation: Expectation, played: readonly PlayedNote[]) {
  const follower = passTime(followAll(expectation, played), played.at(-1)!.onMicros + 6_000_000);
  const { notes, extras } = alignmentSoFar(follower);
  return [verdicts(notes), ...extras.map(({ kind, played }) => `${kind} ${played}`)];
}

function firstSlip(expectation: Expectation, played: readonly PlayedNote[]) {
  return passTime(followAll(expectation, played), played.at(-1)!.onMicros + 1000).slip;
}

describe('when the take is over', () => {
  it('second look: the notes of a left hand far ahead of the right one belong to its own chords', async () => {
    const hands = await writtenLine('C [E,C] C E, C,');
    // Slower than asked; the left hand always 140 ms before its time.
    const played = await writtenTake('V:1\nC C C z2\nV:2\nz3/5 E, z E, C,2/5', 1.4);
    expect(played.map(({ pitch }) => pitch)).toEqual([60, 52, 60, 60, 52, 48]);
    expect(whenOver(hands, played)).toEqual(['rrrrrr']);
  });

  it('opening pace: where all was twice as slow from the start, the time says which of two equal notes was left out', async () => {
    const written = await writtenLine('E c2 c ^F2 =F');
    const played = await writtenTake('E2 z4 c2 ^F4 =F2');
    expect(whenOver(written, played)).toEqual(['rmrrr']);
  });

  it('unswap: two neighbours in the wrong order are both right', async () => {
    const written = await writtenLine('C D E F G A');
    expect(whenOver(written, await writtenTake('C D F E G A'))).toEqual(['rrrrrr']);
  });

  it('out of order: a note of the left hand that comes before the right hand has played its own is no added one', () => {
    const hands = line([72, 48, 74, 52, 76, 55, 77, 57]);
    const played = take([
      [0, 72],
      [250, 48],
      [450, 52],
      [500, 74],
      [1000, 76],
      [1250, 55],
      [1500, 77],
      [1750, 57],
    ]);
    expect(whenOver(hands, played)).toEqual(['rrrrrrrr']);
  });

  it('out of order: the right note a moment after a wrong one is no added note, and the wrong one is', () => {
    const written = line([60, 62, 79, 75, 82, 67, 69]);
    const played = take([
      [0, 60],
      [250, 62],
      [500, 78],
      [748, 79],
      [752, 75],
      [1000, 82],
      [1250, 67],
      [1500, 69],
    ]);
    expect(whenOver(written, played)).toEqual(['rrrrrrr', 'extra 2']);
  });

  it('out of order: the bass notes of two chords exchanged are both right', () => {
    const written = line([[48, 60], [55, 62, 65], 57, [47, 59, 62], 64, 65]);
    const exchanged = new Map([
      [55, 47],
      [47, 55],
    ]);
    const played = perfect(written).map((n) => ({ ...n, pitch: exchanged.get(n.pitch) ?? n.pitch }));
    expect(whenOver(written, played)).toEqual(['rrrrrrrrrrr']);
  });

  it('a note that could be the next one: of one struck a little early and again, the first is right', () => {
    const written = line([60, 62, 64, 65, 67, 69]);
    const played = take([
      [0, 60],
      [250, 62],
      [500, 64],
      [700, 65],
      [850, 65],
      [1100, 67],
      [1350, 69],
    ]);
    expect(whenOver(written, played)).toEqual(['rrrrrr', 'extra 4']);
  });

  it('second look, two chords: a right note of the first takes its place from a wrong one', () => {
    const chord = [62, 65, 70, 77];
    const next = chord.map((pitch, i) => [1000 + i * 5, pitch] as const);
    const played = take([[0, 77], [26, 63], [31, 62], [40, 70], ...next]);
    expect(whenOver(line([chord, chord]), played)).toEqual(['rmrrrrrr', 'extra 1']);
  });

  it('turns: which notes of a trill were left out is told by the clock', () => {
    // The last note before the trill is held for two turns more, and what is left of the trill is played as written.
    const trill = [60, 62, 60, 62, 60, 62, 60, 62];
    const quick = line([55, 57, 59, ...trill, 64, 65, 67]);
    const played = perfect(quick, 0.4).filter((_, i) => ![3, 4, 7, 8].includes(i));
    expect(whenOver(quick, played)).toEqual(['rrrmmrrmmrrrrr']);
  });

  it('equal neighbours: the player who held back before and after the only one played the first, not the second', () => {
    const written = line([60, 62, 64, 64, 65, 67, 69]);
    const played = take([
      [0, 60],
      [250, 62],
      [650, 64],
      [1550, 65],
      [1800, 67],
      [2050, 69],
    ]);
    expect(whenOver(written, played)).toEqual(['rrrmrrr']);
  });

  it('equal notes, a place skipped: the last note before it is not moved into it by the clock', async () => {
    const written = await writtenLine('C D E F G A E B c d g a b');
    expect(whenOver(written, await writtenTake('C D E g a b'))).toEqual(['rrrmmmmmmmrrr']);
    const hands = await writtenLine('C, [D,A] E [F,A] G [A,c] E B c [d,g] g [A,a] b');
    expect(whenOver(hands, await writtenTake('C, [D,A] E g [A,a] b'))).toEqual(['rrrrmmmmmmmmmmrrrr']);
  });

  it('a chord left out is one slip, however many notes it has, and no reason to believe that the player broke off', async () => {
    const chords = await writtenLine('[B,^GBdf] [D,^FAce] [CGce]');
    expect(whenOver(chords, await writtenTake('[B,^GBdf] z [CGce]'))).toEqual(['rrrrrmmmmmrrrr']);
  });

  it('a going back by the first note again, which is a long one, is no added note before it', async () => {
    const written = await writtenLine('G C2 E F G A B c d e');
    const played = await writtenTake('G C2 E F G A C2 E F G A B c d e');
    expect(whenOver(written, played)).toEqual([
      'rrrrrrrrrr',
      'restart 1',
      'restart 2',
      'restart 3',
      'restart 4',
      'restart 5',
    ]);
  });

  it('turns, at one place: of a trill that begins late and slow, those were left out where the player waited', () => {
    const written = line([64, 66, 61, 57, 61, 57, 61, 59, 60, 62]);
    const played = take([
      [0, 64],
      [100, 66],
      [270, 61],
      [390, 57],
      [510, 61],
      [700, 59],
      [800, 60],
      [900, 62],
    ]);
    expect(whenOver(written, played)).toEqual(['rrrrrmmrrr']);
  });

  it('turns, two hands: a trill goes on where a note of the other hand stands for one of its turns', () => {
    // Evenly slower from beginning to end: two turns fewer before the other hand's note, and two after it.
    const half = [60, 62, 60, 62, 60, 62, 60];
    const written = line([55, 57, ...half, 72, ...half, 64, 65]);
    const slow = (from: number) => [0, 1, 2, 3, 4].map((i) => [from + 100 + i * 133, half[i]!] as const);
    const played = take([[0, 55], [100, 57], ...slow(100), [900, 72], ...slow(900), [1700, 64], [1800, 65]]);
    expect(whenOver(written, played)).toEqual(['rrrrrrmmrrrrrrmmrrr']);
  });

  it('turns, chords: a late note of a chord is not that of the next chord which is lacking', () => {
    const written = line([[67, 70], [67, 76], [70, 76], [70, 79], 74, 72, 71]);
    const quick = perfect(written, 0.4).filter((_, i) => i !== 6);
    const played = quick.map((n, i) => (i === 4 ? { ...n, onMicros: n.onMicros + 40_000 } : n));
    expect(
      whenOver(
        written,
        played.sort((a, b) => a.onMicros - b.onMicros),
      ),
    ).toEqual(['rrrrrrmrrrr']);
  });

  it('grace notes waited for: one that comes half a second early is played where the player waits for it', () => {
    const plain = line([60, 62, 64, 65, 67, 69]);
    const onsets = plain.onsets.map((o, i) =>
      i === 3
        ? { ...o, notes: [{ pitch: 71, durationTicks: 0, ornament: 'grace' as const }, ...o.notes] }
        : o,
    );
    const slow = { ...plain, onsets, tempo: { ...plain.tempo, bpm: 30 } };
    const grace = take([[1500, 71, 400]]);
    const notes = perfect({ ...plain, tempo: slow.tempo });
    expect(whenOver(slow, [...notes.slice(0, 3), ...later(grace, -500_000), ...notes.slice(3)])).toEqual([
      'rrrorrr',
      'extra 3',
    ]);
    const waited = later(notes.slice(3), 500_000);
    expect(whenOver(slow, [...notes.slice(0, 3), ...later(grace, -0), ...waited])).toEqual(['rrrrrrr']);
  });

  it('second look, pairs of the first look: after a long stop the last note is still its note', async () => {
    const chords = await writtenLine('C, [C,E] [C,E] E');
    expect(whenOver(chords, await writtenTake('C, [C,E] [C,E] z3 E'))).toEqual(['rrrrrr']);
  });

  it('second look, tries given up: a chord struck again at once without its lowest note lacks that note', async () => {
    const chords = await writtenLine('[C,EGc] [D,FAd] [E,GBe] g');
    const played = await writtenTake('[C,EGc] [D,FAd] [FAd] [E,GBe] g');
    expect(whenOver(chords, played)).toEqual([
      'rrrrmrrrrrrrr',
      'restart 4',
      'restart 5',
      'restart 6',
      'restart 7',
    ]);
  });

  it('second look, slow music: a hand half a second behind in notes of two seconds still plays its chord', async () => {
    const chords = await writtenLine('[C,E]8 [D,F]8 [E,G]8 [F,A]8');
    const played = await writtenTake('V:1\nE8 F8 G8 A8\nV:2\nC,8 z2 D,6 E,8 F,8');
    expect(whenOver(chords, played)).toEqual(['rrrrrrrr']);
  });

  it('what going back gives up: a theme that comes back in minor, and is played as it stood at first, is no going back', async () => {
    const theme = 'C G E c B A F D';
    const bridge = "^C _B ^F _E c' ^G A d _e ^f d' _a' b ^c g _A, ^F, _E, D, ^C, B, _b ^g e";
    const written = await writtenLine(`${theme} | ${bridge} | C G _E c _B _A F _D`);
    const played = await writtenTake(`${theme} | ${bridge} | ${theme}`);
    expect(whenOver(written, played)).toEqual([`${'r'.repeat(8 + 24)}rrwrwwrw`]);
  });

  it('going back costs little more than an added note: the note of the stop, struck again, begins the line again', async () => {
    const written = await writtenLine('D G C A D E c');
    expect(whenOver(written, await writtenTake('D G C z3 C A D E c'))).toEqual(['rrrrrrr', 'restart 2']);
  });

  it('breaking off is one event, however much is left: the theme is that of the beginning, not of the end', async () => {
    const theme = 'C G E c B A F D';
    const between = "^C _B ^F _E c' ^G =A d _e ^f d' _a' b ^c =g _A, ^F, _E, D, ^C, B, _b ^g e".repeat(6);
    const written = await writtenLine(`${theme} | ${between} | ${theme}`);
    expect(whenOver(written, await writtenTake(theme))).toEqual([`${'r'.repeat(8)}${'m'.repeat(144 + 8)}`]);
  });

  it('the clock says where: after four figures of rest the player comes in at the fifth, not at the first', async () => {
    const written = await writtenLine(`D E ${'F G A '.repeat(5)} B c`);
    expect(whenOver(written, await writtenTake('D E z12 F G A B c'))).toEqual([`rr${'m'.repeat(12)}rrrrr`]);
  });

  it('scouts: a take that begins in the middle, with a note that comes often before, is found there', () => {
    const written = line(wandering(80, 10));
    const played = perfect(written).slice(52);
    const before = written.onsets.slice(0, 52).filter((o) => o.notes[0]!.pitch === played[0]!.pitch);
    expect(before.length).toBeGreaterThanOrEqual(4);
    expect(whenOver(written, played)).toEqual(['m'.repeat(52) + 'r'.repeat(28)]);
  });

  it('octave: a whole take an octave lower is the same line', async () => {
    const written = await writtenLine('c d e f');
    expect(whenOver(written, await writtenTake('C D E F'))).toEqual(['rrrr']);
  });
});

for (const [when, told] of Object.entries({
  'when the take is over': whenOver,
  'while it is played': whilePlayed,
})) {
  describe(when, () => {
    it('scouts: a player who goes back fifty notes, to no beginning, is found there with the second note', () => {
      const written = line(wandering(80, 3));
      const notes = perfect(written);
      const played = [...notes.slice(0, 70), ...later(notes.slice(20), 50 * 250_000 + 1_200_000)];
      const restarts = Array.from({ length: 50 }, (_, i) => `restart ${21 + i}`);
      expect(told(written, played)).toEqual(['r'.repeat(80), ...restarts]);
    });
  });
}

describe('while it is played', () => {
  it('twenty notes of patience: one of four equal figures was left out, which shows twelve notes later', async () => {
    const figure = 'E G F A';
    const written = await writtenLine(`E G F F G A D A ${figure} ${figure} ${figure} E F F B ${figure}`);
    const played = await writtenTake(`E G F F G A D A E G F z E F F B ${figure}`);
    expect(whilePlayed(written, played)).toEqual([`${'r'.repeat(11)}${'m'.repeat(9)}${'r'.repeat(8)}`]);
  });

  it('a rolled chord: each note may be as late as any note', () => {
    const written = line([72, 74, [48, 52, 55, 64], 76, 77, 79]);
    const played = take([
      [0, 72],
      [250, 74],
      [500, 48],
      [715, 52],
      [900, 55],
      [1080, 64],
      [1330, 76],
      [1580, 77],
      [1830, 79],
    ]);
    expect(firstSlip(written, played)).toBeUndefined();
  });

  it('a hand that is late is late once, with all its notes', () => {
    const written = line([72, 74, [48, 55, 64, 76], 77, 79, 81]);
    const quick = [0, 100, 200, 300, 400, 500].map((ms, i) => [ms, [72, 74, 76, 77, 79, 81][i]!] as const);
    const late = [48, 55, 64].map((pitch, i) => [350 + i * 4, pitch] as const);
    const played = take([...quick, ...late].sort(([a], [b]) => a - b));
    expect(firstSlip(written, played)).toBeUndefined();
  });

  it('a far place ahead costs more: a misread chord is never said to be the same chord twelve onsets on', () => {
    const melody = [72, 74, 76, 77, 79];
    const between = [83, 84, 82, 80, 78, 75, 60, 62, 64, 65, 67];
    const after = [71, 72, 70, 68, 66];
    const chord = [48, 55, 60];
    const later = [52, 59, 67];
    const written = line([...melody, chord, ...between, later, ...after]);
    const moments = [...melody.map((p) => [p]), later, ...between.map((p) => [p]), later];
    const played = take(
      moments.flatMap((pitches, i) => pitches.map((pitch, k) => [i * 250 + k * 5, pitch] as const)),
    );
    const there = written.onsets.slice(0, 17).reduce((sum, { notes }) => sum + notes.length, 0);
    let follower = startFollowing(written);
    for (const [i, note] of played.entries()) {
      follower = follow(follower, note);
      for (const { played: heard, slot } of heardSoFar(follower)) {
        if (heard >= 5 && heard < 8) expect([i, heard, slot]).toEqual([i, heard, 'none']);
      }
    }
    expect(there).toBe(19);
    expect(follower.slip).toMatchObject({ kind: 'wrong', onset: 5 });
  });
});
