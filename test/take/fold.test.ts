// A take from its terms and events alone: what was kept of it gives what was said live.

import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import type { Effect } from '../../src/session/effect.ts';
import type { SessionPlan } from '../../src/session/plan.ts';
import { takeOf } from '../../src/session/session.ts';
import { foldTake, type KeptPlaying, playAlone } from '../../src/take/fold.ts';
import { hearingOf, playedIn, startLine, withEvent, withTime } from '../../src/take/take.ts';
import { sample } from '../sample.ts';
import { begin, liveSession, strike, wait } from '../session/live-session.ts';
import { fiveNotesPlan, planFor, simulate } from '../session/simulate.ts';
import { FIVE_NOTES, playScript, readScript } from '../sessions/script.ts';

type Keep = Extract<Effect, { type: 'keep' }>;

const SESSIONS = new URL('../sessions/', import.meta.url);
const names = readdirSync(SESSIONS).flatMap((file) => /^(.*)\.session$/.exec(file)?.[1] ?? []);

describe('the fold of a take', () => {
  it.each(names)('gives the verdicts of %s again', async (name) => {
    const text = readFileSync(new URL(`${name}.session`, SESSIONS), 'utf8');
    const kept = keptIn(playScript(await readScript(text)).effects);
    for (const one of kept) expectSame(one, one.playing);
  });

  it('gives the verdicts of players of all kinds again, also read back from JSON and told in any order', async () => {
    let judged = 0;
    for (const [from, drill] of [
      ['model:pupil,seed=3', 'landings'],
      ['model:nervous,seed=4', 'switchback'],
      ['model:heavy,seed=2', 'widening'],
      ['model:beginner,seed=1', 'through'],
    ] as const) {
      const plan = await planFor('slipway', {
        bars: '1-2',
        drill,
        passes: '2',
        ...(drill === 'widening' ? { snag: '6' } : {}),
      });
      const kept = await keptBy(plan, from);
      for (const one of kept) {
        const { take, playing } = one;
        expectSame(one, playing);
        expectSame(one, JSON.parse(JSON.stringify(playing)));
        const result = foldTake(playing);
        fc.assert(
          // Notes of one instant are heard in the order in which they came; otherwise order is no matter.
          fc.property(shuffled(instants(playing.events)), (late) => {
            expect(foldTake({ ...playing, events: late.flat() })).toEqual(result);
          }),
          { numRuns: sample(3, 1) },
        );
        if (take.verdict) judged++;
      }
    }
    expect(judged).toBeGreaterThan(20);
  });

  it('works out for a player alone where the take ended and where a slip stopped it', async () => {
    const plan = await planFor('slipway', { drill: 'through' });
    const kept = await keptBy(plan, 'model:beginner,seed=3');
    const judged = kept.filter(({ take }) => take.verdict);
    expect(judged.some(({ playing }) => playing.stop.cutTick !== undefined)).toBe(true);
    for (const { playing } of judged) {
      const after: PlayerEvent = {
        type: 'note-on',
        at: playing.untilMicros + 1,
        pitch: 60,
        velocity: 80,
        channel: 1,
      };
      expect(playAlone(playing.terms, [...playing.events, after])).toEqual(playing);
    }
  });

  it('ends a take where the session that heard it did, and leaves out what came later', async () => {
    for (const [drill, pitches] of [
      ['through', [60, 62, 64, 65, 67]],
      ['through', [60, 63, 64]],
      ['landings', [60, 62, 60]],
      ['landings', []],
      ['switchback', [60, 60]],
    ] as const) {
      const work = liveSession(await fiveNotesPlan(`set drill ${drill}`));
      const { terms } = takeOf(work.told(begin()))!.lines[0]!;
      const sent = pitches.map((pitch, i) => strike(pitch, 5.5 + i));
      work.told(...sent, wait(30));
      const events = sent.flatMap((one) => (one.type === 'played' ? [one.event] : []));
      const later = [60, 62].map(
        (pitch, i) => ({ type: 'note-on', at: 31_000_000 + i, pitch, velocity: 80, channel: 1 }) as const,
      );
      const [kept] = work.ofType('keep');
      const expected = kept && JSON.parse(JSON.stringify(kept.playing));
      const alone = playAlone(terms, [...events, ...later]);
      expect(alone && JSON.parse(JSON.stringify(alone))).toEqual(expected);
      expect(alone && foldTake(alone).clean).toBe(kept?.take.clean);
    }
  });

  it('does not end a free take that is not begun', async () => {
    const plan = await planFor('slipway', { drill: 'switchback', bars: '1' });
    const kept = await keptBy(plan, 'model:exact');
    expect(playAlone(kept[0]!.playing.terms, [])).toBeUndefined();
  });

  it('keeps controllers, breath and pressure with the notes, as they came', async () => {
    const played = await readScript(
      [
        FIVE_NOTES,
        'set tempo 60',
        '5.4 control 2 90',
        '5.5 on C4',
        '5.6 control 11 70',
        '6.5 on D4',
        '9 look',
      ].join('\n'),
    );
    const pressure: PlayerEvent = { type: 'other', at: 5_700_000, bytes: [0xd0, 55] };
    const events = played.events.toSpliced(3, 0, {
      text: 'pressure',
      event: { type: 'played', at: pressure.at, player: 'player', event: pressure },
    });
    const [{ playing }] = keptIn(playScript({ ...played, events }).effects) as [Keep];
    expect(playing.events.map((event) => [event.type, event.at])).toEqual([
      ['controller', 5_400_000],
      ['note-on', 5_500_000],
      ['controller', 5_600_000],
      ['other', 5_700_000],
      ['note-on', 6_500_000],
    ]);
    expect(playing.events[3]).toEqual(pressure);
    expect(foldTake(playing)).toEqual(
      foldTake({ ...playing, events: playing.events.filter((e) => e.type === 'note-on') }),
    );
  });

  it('keeps what came as it came, with the octaves that were added to it beside it', async () => {
    const text = readFileSync(new URL('octave.session', SESSIONS), 'utf8');
    const kept = keptIn(playScript(await readScript(text)).effects);
    const { playing } = kept.at(-1)!;
    expect(playing.terms.shiftSemitones).toBe(-12);
    expect(pitches(playing.events)).toEqual([72, 74]);
    expect(foldTake(playing).clean).toBe(true);
    expect(foldTake({ ...playing, terms: { ...playing.terms, shiftSemitones: 0 } }).clean).toBe(false);
  });
});

describe('a line that is being played', () => {
  it('takes a note that comes late for what it was when it was played', async () => {
    const { terms } = (await firstTake()).playing;
    const on = (at: number, pitch: number): PlayerEvent => ({
      type: 'note-on',
      at,
      pitch,
      velocity: 80,
      channel: 1,
    });
    const c4 = on(5_500_000, 60);
    const late = withEvent(withTime(startLine(terms), 20_000_000), c4);
    const missed = hearingOf(withTime(startLine(terms), 20_000_000));
    expect(missed.follower!.slip).toMatchObject({ kind: 'missed', onset: 0 });
    const inTime = withTime(withEvent(startLine(terms), c4), 20_000_000);
    expect(hearingOf(late).follower!.committed).toEqual(hearingOf(inTime).follower!.committed);
    expect(hearingOf(late).follower!.committed[0]).toMatchObject({ verdict: 'right' });
  });

  it('hears a note at the very instant at which it would be missed as in time, whichever is told first', async () => {
    const { terms } = (await firstTake()).playing;
    const due = hearingOf(startLine(terms)).follower!.nextDeadlineMicros!;
    const note: PlayerEvent = { type: 'note-on', at: due, pitch: 60, velocity: 80, channel: 1 };
    const noteFirst = withTime(withEvent(startLine(terms), note), due);
    const timeFirst = withEvent(withTime(startLine(terms), due), note);
    expect(hearingOf(timeFirst).follower!.committed).toEqual(hearingOf(noteFirst).follower!.committed);
    expect(hearingOf(noteFirst).follower!.slip?.kind).not.toBe('missed');
    expect(hearingOf(withTime(startLine(terms), due)).follower!.slip?.kind).toBe('missed');
  });

  it('knows how long a note was held, of a player who sounds an octave away too', async () => {
    const { terms } = (await firstTake()).playing;
    const high: PlayerEvent[] = [
      { type: 'note-on', at: 5_500_000, pitch: 72, velocity: 80, channel: 1 },
      { type: 'note-off', at: 6_100_000, pitch: 72, channel: 1 },
    ];
    const line = high.reduce(withEvent, startLine({ ...terms, shiftSemitones: -12 }));
    expect(playedIn(line)).toEqual([{ pitch: 60, onMicros: 5_500_000, velocity: 80, offMicros: 6_100_000 }]);
    expect(playedIn(startLine(terms))).toEqual([]);
  });

  it('does not go back in time', async () => {
    const { terms } = (await firstTake()).playing;
    const line = withTime(startLine(terms), 6_000_000);
    expect(withTime(line, 5_000_000)).toBe(line);
    expect(withTime(line, 6_000_001).passedMicros).toBe(6_000_001);
  });

  it('hears nothing before the line opens, and what comes after its end ran on', async () => {
    const { terms } = (await firstTake()).playing;
    const note = (at: number, pitch: number): PlayerEvent => ({
      type: 'note-on',
      at,
      pitch,
      velocity: 80,
      channel: 1,
    });
    const early = withEvent(startLine(terms), note(terms.opensMicros - 1, 60));
    expect(hearingOf(early)).toMatchObject({ ranOn: 0 });
    expect(hearingOf(early).lastNoteMicros).toBeUndefined();
    expect(hearingOf(withEvent(startLine(terms), note(terms.opensMicros, 60))).lastNoteMicros).toBe(
      terms.opensMicros,
    );
    const played = [note(5_500_000, 60), note(6_500_000, 62), note(7_000_000, 64), note(7_100_000, 65)];
    const whole = played.reduce(withEvent, startLine(terms));
    expect(hearingOf(whole)).toMatchObject({
      ranOn: 2,
      completeMicros: 6_500_000,
      lastNoteMicros: 7_100_000,
    });
  });
});

// Helpers

function keptIn(effects: readonly Effect[]): Keep[] {
  return effects.filter((effect) => effect.type === 'keep');
}

async function keptBy(plan: SessionPlan, from: string): Promise<Keep[]> {
  const { played } = await simulate(plan, [from], 3);
  const events = played.map((event) => ({ text: event.event.type, event }));
  return keptIn(playScript({ plan, events }).effects);
}

function expectSame({ take, report }: Keep, playing: KeptPlaying): void {
  const result = foldTake(playing);
  if (report) {
    expect(result.verdict).toEqual(report.verdict);
    expect(result.clean).toBe(take.clean);
  }
}

function instants(events: readonly PlayerEvent[]): PlayerEvent[][] {
  return [...new Set(events.map(({ at }) => at))].map((at) => events.filter((event) => event.at === at));
}

function shuffled<T>(all: readonly T[]): fc.Arbitrary<T[]> {
  return fc.shuffledSubarray([...all], { minLength: all.length });
}

function pitches(events: readonly PlayerEvent[]): number[] {
  return events.flatMap((event) => (event.type === 'note-on' ? [event.pitch] : []));
}

async function firstTake(): Promise<Keep> {
  const script = await readScript(
    [FIVE_NOTES, 'set tempo 60', '5.5 on C4', '6.5 on D4', '9 look'].join('\n'),
  );
  return keptIn(playScript(script).effects)[0]!;
}
