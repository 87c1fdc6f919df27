import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import {
  alignmentSoFar,
  type Follower,
  follow,
  heardSoFar,
  passTime,
  release,
  startFollowing,
} from '../../src/matching/follow.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { line, perfect, take, verdicts, ZERO_MICROS } from './takes.ts';

const SCALE = line([60, 62, 64, 65, 67, 69, 71, 72]);
const CLICKED = { ...SCALE, pulse: 'click' as const, zeroMicros: ZERO_MICROS };

/** Every note-on and release in the order of time. */
function followAll(expectation: Expectation, played: readonly PlayedNote[]): Follower {
  const events = played.flatMap((n) => [
    {
      at: n.onMicros,
      run: (f: Follower) => follow(f, { pitch: n.pitch, onMicros: n.onMicros, velocity: 80 }),
    },
    { at: n.offMicros!, run: (f: Follower) => release(f, n.pitch, n.offMicros!) },
  ]);
  return events.sort((a, b) => a.at - b.at).reduce((f, e) => e.run(f), startFollowing(expectation));
}

describe('following', () => {
  it('commits a right note at once and stands at the next', () => {
    let follower = startFollowing(SCALE);
    for (const [i, note] of perfect(SCALE).entries()) {
      follower = follow(follower, note);
      expect(follower.position).toBe(i + 1);
      expect(verdicts(follower.committed)).toBe('r'.repeat(i + 1).padEnd(8, '.'));
    }
    expect(follower.complete).toBe(true);
    expect(follower.slip).toBeUndefined();
  });

  it('notices a chord note left out however fast the chords follow one another', () => {
    const chords = line([
      [48, 60],
      [50, 62],
      [52, 64],
      [53, 65],
      [55, 67],
      [57, 69],
    ]);
    const fast = { ...chords, tempo: { ...chords.tempo, bpm: 120 } };
    const without = perfect(fast).filter(({ pitch }) => pitch !== 52);
    const follower = without.reduce(follow, startFollowing(fast));
    expect(verdicts(follower.committed)).toBe('rrrrmrrrrrrr');
    expect(follower.slip).toMatchObject({ kind: 'missed', onset: 2 });
    // As soon as it is too late to come: before the take is over.
    expect(follower.slip!.atMicros).toBeLessThan(without.at(-1)!.onMicros);
  });

  it('notices a chord note left out just before the last onset by time alone', () => {
    const chords = line([[48, 60], [50, 62], [52, 64], 65]);
    const fast = { ...chords, tempo: { ...chords.tempo, bpm: 120 } };
    const without = perfect(fast).filter(({ pitch }) => pitch !== 52);
    const played = without.reduce(follow, startFollowing(fast));
    expect(played.slip).toBeUndefined();
    const due = without.at(-2)!.onMicros;
    const before = passTime(played, due + 200_000);
    expect(before.slip).toBeUndefined();
    const after = passTime(played, played.nextDeadlineMicros!);
    expect(after.slip).toMatchObject({ kind: 'missed', onset: 2 });
    expect(after.slip!.atMicros - due).toBeLessThan(201_000);
    const decided = passTime(after, due + 1_000_000);
    expect(verdicts(decided.committed)).toBe('rrrrmrr');
  });

  it('believes a hand that is a little ahead of the other, and the other when it comes', () => {
    // 64 of the right hand, then 48 of the left a 36th of a beat after it; played the other way round.
    const { tempo } = SCALE;
    const at = (beats: number, pitch: number) => ({
      tick: Math.round(beats * tempo.beatTicks),
      notes: [{ pitch, durationTicks: tempo.beatTicks / 4 }],
    });
    const chord = {
      tick: 0,
      notes: [60, 52].map((pitch) => ({ pitch, durationTicks: tempo.beatTicks / 4 })),
    };
    const hands = {
      ...SCALE,
      onsets: [chord, at(0.25, 62), at(0.5, 64), at(0.5 + 1 / 36, 48), at(0.75, 65)],
    };
    const notes = take([
      [0, 52],
      [8, 60],
      [255, 62],
      [490, 48],
      [535, 64],
      [760, 65],
    ]);
    let follower = startFollowing(hands);
    for (const [i, note] of notes.entries()) {
      follower = follow(follower, note);
      if (i === 3) expect(heardSoFar(follower)).toContainEqual({ played: 3, slot: 4 });
    }
    expect(verdicts(follower.committed)).toBe('rrrrrr');
    expect(follower.extras).toEqual([]);
    expect(follower.slip).toBeUndefined();
    expect(verdicts(align(hands, notes).notes)).toBe('rrrrrr');
  });

  it('has said of every note what it was when two more have been played, however unlike the music', () => {
    const wild = take([62, 69, 71, 69, 58, 58, 59].map((pitch, i) => [i * 230, pitch] as const));
    let follower = startFollowing(SCALE);
    for (const [i, note] of wild.entries()) {
      follower = follow(follower, note);
      const told = new Set([
        ...follower.committed.flatMap((n) => (n?.played === undefined ? [] : [n.played])),
        ...follower.extras.map((e) => e.played),
        ...heardSoFar(follower).map((h) => h.played),
      ]);
      for (let earlier = 0; earlier <= i - 2; earlier++) expect(told).toContain(earlier);
    }
  });

  it('does not say at once where a note belongs that fits the music ahead and, after a slip and a stop, a going back', () => {
    const figure = line([60, 64, 67, 60, 64, 71, 72, 74]);
    const played = take([
      [0, 60],
      [250, 64],
      [500, 68],
      [1500, 60],
      [1750, 64],
      [2000, 67],
    ]);
    const toldOf = (f: Follower, note: number) =>
      f.committed.some((n) => n?.played === note) || heardSoFar(f).some((h) => h.played === note);
    const onsetsOnly = played.slice(0, 4).reduce((f, n) => follow(f, n), startFollowing(figure));
    expect(toldOf(onsetsOnly, 3)).toBe(false);
    expect(verdicts(alignmentSoFar(followAll(figure, played)).notes)).toBe('rrrmmmmm');
  });

  it('takes a misread chord in tempo for one slip, not for a going back to where that chord stands', () => {
    const [c, f, g] = [
      [60, 64, 67],
      [57, 65, 69],
      [59, 62, 71],
    ] as const;
    const waltz = line([48, c, 72, c, 48, c, 74, c, 53, f, 77, f, 55, g, 71, g, 48, [63, 68, 72]]);
    const MISREAD = 9;
    const played = take(
      waltz.onsets.flatMap(({ notes }, i) =>
        (i === MISREAD ? c : notes.map(({ pitch }) => pitch)).map(
          (pitch, k) => [i * 250 + k * 5, pitch] as const,
        ),
      ),
    );
    const wrong = played.flatMap((note, i) => (note.onMicros >= played[17]!.onMicros && i < 20 ? [i] : []));
    let follower = startFollowing(waltz);
    for (const note of played) {
      follower = follow(follower, note);
      for (const heard of heardSoFar(follower)) {
        if (wrong.includes(heard.played)) expect(heard.slot).toBe('none');
      }
    }
    follower = passTime(follower, played.at(-1)!.onMicros + 2_000_000);
    expect(follower.slip).toMatchObject({ kind: 'wrong', onset: MISREAD });
    expect(follower.extras).toEqual([]);
    expect(verdicts(follower.committed)).toBe('rrrrrrrrrrrrrrrrrwwwrrrrrrrrrrrrrrrr');
  });

  it('leaves the follower it was given as it was', () => {
    const first = follow(startFollowing(SCALE), take([[0, 60]])[0]!);
    const [right, wrong] = take([
      [250, 62],
      [250, 63],
    ]);
    const a = follow(first, right!);
    const b = follow(first, wrong!);
    expect(first.played).toHaveLength(1);
    expect(a.played.map((n) => n.pitch)).toEqual([60, 62]);
    expect(b.played.map((n) => n.pitch)).toEqual([60, 63]);
    expect(verdicts(first.committed)).toBe('r.......');
  });

  it('knows at once that a note was no right one, and with the next whether it was wrong or added', () => {
    const at = ZERO_MICROS + 250_000;
    const before = followAll(
      SCALE,
      take([
        [0, 60],
        [250, 63],
      ]),
    );
    expect(before.slip).toEqual({ kind: 'wrong', onset: 1, atMicros: at });
    expect(verdicts(before.committed)).toBe('r.......');
    const wrong = followAll(
      SCALE,
      take([
        [0, 60],
        [250, 63],
        [500, 64],
      ]),
    );
    expect(wrong.slip).toEqual({ kind: 'wrong', onset: 1, atMicros: at });
    expect(verdicts(wrong.committed)).toBe('rwr.....');
    const added = followAll(
      SCALE,
      take([
        [0, 60],
        [250, 63, 80],
        [350, 62],
        [600, 64],
      ]),
    );
    expect(added.slip).toEqual({ kind: 'extra', onset: 1, atMicros: at });
    expect(verdicts(added.committed)).toBe('rrr.....');
  });

  it('settles a doubtful last note by time alone, and says when', () => {
    const two = line([60, 62]);
    const follower = followAll(
      two,
      take([
        [0, 60],
        [250, 64],
      ]),
    );
    expect(verdicts(follower.committed)).toBe('r.');
    const due = follower.nextDeadlineMicros!;
    expect(verdicts(passTime(follower, due - 1).committed)).toBe('r.');
    expect(passTime(follower, due - 1).complete).toBe(false);
    expect(verdicts(passTime(follower, due).committed)).toBe('rw');
    expect(passTime(follower, due).complete).toBe(true);
  });

  it('knows a missed note when it was passed over', () => {
    const follower = followAll(
      SCALE,
      perfect(SCALE).filter((_, i) => i !== 2),
    );
    expect(follower.slip).toMatchObject({ kind: 'missed', onset: 2 });
    expect(verdicts(follower.committed)).toBe('rrmrrrrr');
  });

  it('knows a missed note by its deadline when the player stops', () => {
    const follower = followAll(
      CLICKED,
      take([
        [0, 60],
        [250, 62],
      ]),
    );
    // Due at 500 ms, two beats of patience at 60 a minute.
    expect(follower.nextDeadlineMicros).toBeCloseTo(ZERO_MICROS + 2_500_000, -5);
    const after = passTime(follower, follower.nextDeadlineMicros!);
    expect(after.slip).toEqual({ kind: 'missed', onset: 2, atMicros: follower.nextDeadlineMicros! });
    expect(passTime(follower, ZERO_MICROS + 60_000_000).complete).toBe(true);
  });

  it('waits without a deadline where no click says when to come in', () => {
    expect(startFollowing(SCALE).nextDeadlineMicros).toBeUndefined();
    expect(startFollowing(CLICKED).nextDeadlineMicros).toBe(ZERO_MICROS + 2_000_000);
  });

  it('gives the same however the time is cut', () => {
    const follower = followAll(
      CLICKED,
      take([
        [0, 60],
        [250, 62],
        [500, 66],
      ]),
    );
    const end = ZERO_MICROS + 20_000_000;
    const once = passTime(follower, end);
    let often = follower;
    for (let at = ZERO_MICROS; at <= end; at += 137_000) often = passTime(often, at);
    often = passTime(often, end);
    expect(often.committed).toEqual(once.committed);
    expect(often.slip).toEqual(once.slip);
    expect(often.extras).toEqual(once.extras);
  });

  it('knows a restart, and takes up the notes again from there', () => {
    const follower = followAll(
      SCALE,
      take([
        [0, 60],
        [250, 62],
        [500, 64],
        [1500, 60],
        [1750, 62],
        [2000, 64],
        [2250, 65],
      ]),
    );
    expect(follower.slip).toMatchObject({ kind: 'restart', onset: 0 });
    expect(verdicts(follower.committed)).toBe('rrrr....');
    expect(follower.extras.map((e) => e.kind)).toEqual(['restart', 'restart', 'restart']);
  });

  it('tells a blip from an added note by its release', () => {
    const notes = (lasts: number) =>
      take([
        [0, 60],
        [250, 62],
        [500 - lasts, 71, lasts],
        [500, 64],
        [750, 65],
      ]);
    expect(followAll(SCALE, notes(25)).slip).toMatchObject({ kind: 'blip', onset: 2 });
    expect(followAll(SCALE, notes(120)).slip).toMatchObject({ kind: 'extra', onset: 2 });
  });

  it('is complete only when the whole last chord is down', () => {
    const chords = line([60, [64, 67]]);
    const [a, b, c] = take([
      [0, 60],
      [250, 67],
      [260, 64],
    ]);
    const two = follow(follow(startFollowing(chords), a!), b!);
    expect(two.complete).toBe(false);
    expect(follow(two, c!).complete).toBe(true);
  });

  it('agrees with the whole take on clean takes and on single slips', () => {
    const perfectTake = perfect(SCALE);
    const takes = [
      perfectTake,
      perfectTake.map((n, i) => (i === 3 ? { ...n, pitch: n.pitch + 1 } : n)),
      perfectTake.filter((_, i) => i !== 4),
      take([
        [0, 60],
        [250, 62],
        [500, 64],
        [1500, 60],
        [1750, 62],
        [2000, 64],
        [2250, 65],
        [2500, 67],
        [2750, 69],
        [3000, 71],
        [3250, 72],
      ]),
    ];
    for (const played of takes) {
      const follower = passTime(followAll(SCALE, played), 1e9);
      expect(alignmentSoFar(follower)).toEqual(align(SCALE, played));
      expect(follower.committed).toEqual(align(SCALE, played).notes);
    }
  });

  it('hears what is played at the instant of a deadline before that has passed', () => {
    const two = followAll(
      CLICKED,
      take([
        [0, 60],
        [250, 62],
      ]),
    );
    const due = two.nextDeadlineMicros!;
    const third = follow(two, { pitch: 64, onMicros: due, velocity: 80 });
    expect(third.slip).toBeUndefined();
    expect(verdicts(third.committed)).toBe('rrr.....');
    const held = take([
      [0, 60],
      [250, 62],
    ]).reduce(
      (f, { pitch, onMicros }) => follow(f, { pitch, onMicros, velocity: 80 }),
      startFollowing(CLICKED),
    );
    expect(release(held, 62, held.nextDeadlineMicros!).slip).toBeUndefined();
    expect(release(held, 62, held.nextDeadlineMicros! + 1).slip).toMatchObject({ kind: 'missed', onset: 2 });
  });

  it('is the same value while nothing has come true, and is made by startFollowing alone', () => {
    const first = follow(startFollowing(SCALE), take([[0, 60]])[0]!);
    expect(passTime(first, first.nextDeadlineMicros! - 1)).toBe(first);
    expect(first.expectation).toBe(SCALE);
    expect(() => passTime({ ...first }, 0)).toThrow('Cannot follow');
  });

  it('waits twice the gap just played for more of a note in doubt, for the pace may be what is in doubt', () => {
    const slow = followAll(
      SCALE,
      take([
        [0, 60],
        [1200, 63],
      ]),
    );
    expect(slow.nextDeadlineMicros).toBe(ZERO_MICROS + 1_200_000 + 2_400_000);
  });

  it('tells the first slip, whatever slips come after it', () => {
    const played = perfect(SCALE)
      .map((n, i) => (i === 1 ? { ...n, pitch: 63 } : n))
      .filter((_, i) => i !== 4);
    expect(followAll(SCALE, played).slip).toMatchObject({ kind: 'wrong', onset: 1 });
  });

  it('tells a note added after the last one as a slip at the last onset', () => {
    const played = [...perfect(SCALE), ...take([[2100, 90]])];
    expect(passTime(followAll(SCALE, played), 1e9).slip).toMatchObject({ kind: 'extra', onset: 7 });
  });

  it('tells a note added after a trill, whose notes are no slips', () => {
    const trilled = {
      ...SCALE,
      onsets: SCALE.onsets.map((o, i) =>
        i === 1 ? { ...o, notes: o.notes.map((n) => ({ ...n, ornament: 'trill' as const })) } : o,
      ),
    };
    const trill = [0, 1, 2, 3].map((i) => [250 + 60 * i, 62 + 2 * (i % 2), 50] as const);
    const right = take([[0, 60], ...trill, [500, 64], [750, 65], [1000, 67]]);
    expect(followAll(trilled, right).slip).toBeUndefined();
    const added = take([[0, 60], ...trill, [500, 64], [625, 90], [750, 65], [1000, 67]]);
    expect(followAll(trilled, added).slip).toMatchObject({ kind: 'extra', onset: 3 });
  });

  it('knows a blip between the first two notes', () => {
    const played = take([
      [0, 60],
      [225, 71, 25],
      [250, 62],
      [500, 64],
    ]);
    expect(followAll(SCALE, played).slip).toMatchObject({ kind: 'blip', onset: 1 });
  });

  it('decides on a grace note when it is played, and leaves a chord note open while it may still come', () => {
    const graced = {
      ...SCALE,
      onsets: SCALE.onsets.map((o, i) =>
        i === 1
          ? { ...o, notes: [{ pitch: 71, durationTicks: 0, ornament: 'grace' as const }, ...o.notes] }
          : o,
      ),
    };
    const [first, grace, second] = take([
      [0, 60],
      [200, 71, 40],
      [250, 62],
    ]);
    const before = [first!, grace!].reduce(follow, startFollowing(graced));
    expect(verdicts(before.committed)).toBe('rr.......');
    expect(verdicts(follow(before, second!).committed)).toBe('rrr......');
    const chords = line([[48, 60], [50, 62], 64]);
    const fast = { ...chords, tempo: { ...chords.tempo, bpm: 120 } };
    const hands = take([
      [0, 48],
      [0, 60],
      [125, 62],
      [250, 64],
    ]).reduce(follow, startFollowing(fast));
    expect(verdicts(hands.committed)).toBe('rr.r.');
    const late = follow(hands, { pitch: 50, onMicros: ZERO_MICROS + 260_000, velocity: 80 });
    expect(verdicts(late.committed)).toBe('rrrrr');
    expect(late.slip).toBeUndefined();
    expect(verdicts(passTime(hands, ZERO_MICROS + 3_000_000).committed)).toBe('rrmrr');
  });

  it('takes a release without a note, and overlapping notes of one pitch, as they come', () => {
    let follower = release(startFollowing(SCALE), 60, ZERO_MICROS - 5);
    follower = follow(follower, { pitch: 60, onMicros: ZERO_MICROS, velocity: 80 });
    follower = follow(follower, { pitch: 60, onMicros: ZERO_MICROS + 20_000, velocity: 80 });
    follower = release(follower, 60, ZERO_MICROS + 100_000);
    expect(follower.played.map((n) => n.offMicros)).toEqual([ZERO_MICROS + 20_000, ZERO_MICROS + 100_000]);
  });
});
