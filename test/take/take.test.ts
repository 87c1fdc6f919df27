// When a take of several players is over, and what it is of one who rests.

import { describe, expect, it } from 'vitest';
import type { Line, Run } from '../../src/drills/step.ts';
import { type Entrance, planTake } from '../../src/take/plan-take.ts';
import { lineResult, takeResults } from '../../src/take/result.ts';
import {
  hasSlipped,
  hearingOf,
  isCountedIn,
  isJoined,
  isUnbegun,
  type LineTake,
  startLine,
  type Take,
  takeEvent,
  takeTime,
  withEvent,
  withTime,
} from '../../src/take/take.ts';
import { endMicros, stopMicros, takeClicks, takeDue, verdictMicros } from '../../src/take/take-times.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { eighthStep } from '../simulation/steps-for-models.ts';

const SECOND = 1_000_000;
/** Eighths of a quarter of a second: C D E F, landing held two beats of half a second. */
const { run: landing, line } = eighthStep([60, 62, 64, 65]);
const free: Run = { ...landing, pulse: 'free', landing: false };
const clicked: Run = { ...landing, beats: [0, 1, 2, 3].map((beat) => beat * 10_080) };
const rest: Line = { ...line, parts: [1], onsets: [] };

describe('a free take of two players', () => {
  it('that nobody has begun has no end', () => {
    const take = planned(free, [line, line]);
    expect(verdictMicros(take)).toBeUndefined();
    expect(endMicros(take)).toBeUndefined();
  });

  it('is over some time after one has played, when the other stays silent', () => {
    const take = played(planned(free, [line, line]), 0, 2 * SECOND, [60, 62, 64, 65]);
    const done = 2 * SECOND + 750_000;
    // One and a half of its notes to settle, and a silence of at least three seconds for the other.
    expect(verdictMicros(take)).toBe(done + 375_000 + 3_000_000);
    const [first, second] = takeResults(takeTime(take, verdictMicros(take)!));
    expect(first!.clean).toBe(true);
    expect(second!.verdict.troubles).toEqual([{ kind: 'silent' }]);
  });

  it('waits for the other who has begun', () => {
    const one = played(planned(free, [line, line]), 0, 2 * SECOND, [60, 62, 64, 65]);
    const both = played(one, 1, 3 * SECOND, [60, 62, 64, 65]);
    expect(verdictMicros(both)).toBe(3 * SECOND + 750_000 + 375_000);
  });

  it('does not wait for one who rests', () => {
    const take = played(planned(free, [line, rest]), 0, 2 * SECOND, [60, 62, 64, 65]);
    expect(verdictMicros(take)).toBe(2 * SECOND + 750_000 + 375_000);
  });

  it('goes on after a pause of two and a half seconds, after the first note or a later one', () => {
    for (const before of [1, 2]) {
      const begun = played(planned(free, [line]), 0, 2 * SECOND, [60, 62, 64, 65].slice(0, before));
      const from = 2 * SECOND + (before - 1) * 250_000 + 2.5 * SECOND;
      expect(verdictMicros(takeTime(begun, from))).toBeGreaterThan(from);
      const whole = played(begun, 0, from, [60, 62, 64, 65].slice(before));
      const [result] = takeResults(takeTime(whole, verdictMicros(whole)!));
      expect(result!.verdict.notes.map(({ verdict }) => verdict)).toEqual(Array(4).fill('right'));
      expect(result!.clean).toBe(false);
    }
  });

  it('broken off in the middle is over after five of its intervals, three seconds at least', () => {
    const take = played(planned(free, [line]), 0, 2 * SECOND, [60, 62]);
    expect(verdictMicros(take)).toBe(2 * SECOND + 250_000 + 3_000_000);
    const slow = planned({ ...free, tempo: { bpm: 10, beatTicks: 10_080 } }, [line]);
    expect(verdictMicros(played(slow, 0, 2 * SECOND, [60]))).toBe(2 * SECOND + 5 * 3 * SECOND);
  });
});

describe('a player who rests through the run', () => {
  it('is clean in silence, and every note is one too many', () => {
    const take = planned(clicked, [line, rest]);
    const quiet = takeResults(played(take, 0, take.zeroMicros, [60, 62, 64, 65]));
    expect(quiet.map(({ clean }) => clean)).toEqual([true, true]);
    const loud = takeResults(played(take, 1, take.zeroMicros, [60, 62]));
    expect(loud[1]!.verdict.troubles).toEqual([{ kind: 'ran-on', notes: 2 }]);
    expect(loud[1]!.clean).toBe(false);
  });
});

describe('a take with a click', () => {
  it('stops for a slip of any player at the next beat, and is clean for nobody', () => {
    const take = planned(clicked, [line, line]);
    const both = played(played(take, 0, take.zeroMicros, [60, 62, 64, 65]), 1, take.zeroMicros, [61, 61, 63]);
    const after = takeTime(both, take.zeroMicros + 500_000);
    expect(hasSlipped(after)).toBe(true);
    expect(after.cutTick).toBeDefined();
    expect(after.cutTick! % 10_080).toBe(0);
    expect(stopMicros(after)).toBeLessThan(stopMicros(take)!);
    expect(takeResults(after).map(({ clean }) => clean)).toEqual([false, false]);
  });

  it('of a survey is not stopped by a slip', () => {
    const take = { ...planned(clicked, [line]), unstopped: true };
    const after = played(take, 0, take.zeroMicros, [61, 61, 63, 60]);
    expect(hasSlipped(after)).toBe(false);
    expect(stopMicros(after)).toBe(stopMicros(take));
  });

  it('leaves out of the verdict what was not reached before the stop', () => {
    const { terms } = planned(clicked, [line]).lines[0]!;
    const events = [60, 61].map((pitch, i) => on(terms.zeroMicros + i * 250_000, pitch));
    const heard = events.reduce(withEvent, startLine(terms));
    const cut = lineResult(heard, { cutTick: 10_080, slipped: true });
    expect(cut.verdict.notes).toHaveLength(2);
    expect(cut.clean).toBe(false);
    expect(lineResult(heard, { slipped: false }).verdict.notes).toHaveLength(4);
  });

  it('cut for a slip which the whole take does not bear out is not clean all the same', () => {
    const { terms } = planned(clicked, [line]).lines[0]!;
    const heard = [60, 62, 64].map((pitch, i) => on(terms.zeroMicros + i * 250_000, pitch));
    const result = lineResult(heard.reduce(withEvent, startLine(terms)), { cutTick: 10_080, slipped: true });
    expect(result.verdict.clean).toBe(true);
    expect(result.clean).toBe(false);
  });

  it('has its notes gathered once for a verdict, whatever they are looked at for', () => {
    const { terms } = planned(clicked, [line]).lines[0]!;
    let gathered = 0;
    const pitches = [60, 62, 64, 66, 65, 65];
    const events = pitches.map((pitch, i) => ({
      ...on(terms.zeroMicros + i * 250_000, pitch),
      get velocity() {
        gathered += 1;
        return 80;
      },
    }));
    const heard = withTime(
      events.reduce<LineTake>(withEvent, startLine(terms)),
      terms.zeroMicros + 10 * SECOND,
    );
    // Once when it is followed while it is played.
    hearingOf(heard);
    gathered = 0;
    expect(lineResult(heard, { slipped: false }).clean).toBe(false);
    expect(gathered).toBe(pitches.length);
  });

  it('is due next where something becomes true by time alone', () => {
    const take = planned(clicked, [line]);
    const due = takeDue(take)!;
    expect(due).toBeGreaterThan(take.zeroMicros);
    expect(due).toBeLessThan(verdictMicros(take)!);
    expect(takeDue(takeTime(take, due))).toBeGreaterThan(due);
  });

  it('gives each player their own lag and waits for the one who is furthest behind', () => {
    const lags = [-20_000, 60_000];
    const take = planned(clicked, [line, line], lags);
    const plain = planned(clicked, [line, line]);
    expect(take.lines.map(({ terms }) => terms.lagMicros)).toEqual(lags);
    expect(verdictMicros(take)).toBe(verdictMicros(plain)! + 60_000);
    expect(take.lines.map(({ terms }) => terms.opensMicros - plain.lines[0]!.terms.opensMicros)).toEqual(
      lags,
    );
    expect(planned(free, [line], [60_000]).lines[0]!.terms.lagMicros).toBe(0);
  });
});

describe('how a take is entered', () => {
  // Two clicks before the run, one on each of its beats.
  const counted: Run = {
    ...landing,
    clicks: [-2, -1, 0, 1, 2].map((beat) => ({ tick: beat * 10_080, accent: 'beat' as const })),
  };
  const entered = (entry: Entrance) =>
    planTake({ run: counted, lines: [line] }, entry, {
      attempt: 1,
      tolerance: TOLERANCES.steady,
      players: [{ lagMicros: 0, shiftSemitones: 0 }],
    });

  it('after a lead-in all its clicks are heard, and the run begins where they lead to', () => {
    const take = entered({ kind: 'lead-in', fromMicros: SECOND });
    expect([isJoined(take), isCountedIn(take), take.beginMicros]).toEqual([false, true, SECOND]);
    const clicks = takeClicks(take, false).map(({ atMicros }) => atMicros);
    expect(clicks.slice(0, 3)).toEqual([SECOND, 1.5 * SECOND, 2 * SECOND]);
    expect(take.zeroMicros).toBe(2 * SECOND);
    // Half a beat before the first note is not too early.
    expect(take.lines[0]!.terms.opensMicros).toBe(1.75 * SECOND);
  });

  it('from a landing the landing is its first note, and no click comes before it', () => {
    const take = entered({ kind: 'join', atMicros: 3 * SECOND });
    expect([isJoined(take), isCountedIn(take), take.zeroMicros]).toEqual([true, false, 3 * SECOND]);
    expect(takeClicks(take, true)[0]!.atMicros).toBe(3 * SECOND);
  });

  it('no click is asked for where the hold is over', () => {
    const take = entered({ kind: 'lead-in', fromMicros: SECOND });
    const long = {
      ...take,
      run: { ...counted, clicks: [...counted.clicks, { tick: 1e6, accent: 'beat' as const }] },
    };
    expect(takeClicks(long, false)).toEqual(takeClicks(take, false));
  });

  it('it is not begun before a note that counts', () => {
    const take = entered({ kind: 'lead-in', fromMicros: SECOND });
    expect(isUnbegun(take)).toBe(true);
    expect(isUnbegun(takeEvent(take, 0, on(SECOND, 60)))).toBe(true);
    expect(isUnbegun(takeEvent(take, 0, on(2 * SECOND, 60)))).toBe(false);
  });
});

describe('a take of several players that runs on', () => {
  const wrong = (take: Take, player: number) => played(take, player, take.zeroMicros, [61, 61, 63]);
  const right = (take: Take, player: number) => played(take, player, take.zeroMicros, [60, 62, 64, 65]);

  it('is not stopped by one whose slips are spared, nor by one who plays nothing', () => {
    const spared = { ...planned(clicked, [line, line]), spared: [1] };
    expect(wrong(right(spared, 0), 1).cutTick).toBeUndefined();
    expect(wrong(right(spared, 1), 0).cutTick).toBeDefined();
    const silent = takeTime(right(planned(clicked, [line, line]), 0), 60 * SECOND);
    expect(silent.cutTick).toBeUndefined();
    // Alone the same silence stops it.
    expect(hasSlipped(takeTime(planned(clicked, [line]), 60 * SECOND))).toBe(true);
  });

  it('lets as many slip as may, and stops for the next', () => {
    const three = { ...planned(clicked, [line, line, line]), slipsAllowed: 1 };
    const one = wrong(right(three, 0), 1);
    expect([hasSlipped(one), one.cutTick]).toEqual([false, undefined]);
    expect(wrong(one, 2).cutTick).toBeDefined();
  });
});

// Helpers

function planned(run: Run, lines: readonly Line[], lags: readonly number[] = []): Take {
  return planTake(
    { run, lines },
    { kind: 'lead-in', fromMicros: SECOND },
    {
      attempt: 1,
      tolerance: TOLERANCES.steady,
      players: lines.map((_, i) => ({ lagMicros: lags[i] ?? 0, shiftSemitones: 0 })),
    },
  );
}

/** Notes a quarter of a second apart. */
function played(take: Take, player: number, fromMicros: number, pitches: readonly number[]): Take {
  return pitches.reduce((one, pitch, i) => takeEvent(one, player, on(fromMicros + i * 250_000, pitch)), take);
}

function on(at: number, pitch: number) {
  return { type: 'note-on', at, pitch, velocity: 80, channel: 1 } as const;
}
