// What is true at an instant: the order of input and of time, when to wake, and what is not listened to.

import { describe, expect, it } from 'vitest';
import { advance, nextWakeUp } from '../../src/session/advance.ts';
import type { SessionPlan } from '../../src/session/plan.ts';
import { newSession, type Session, takeOf } from '../../src/session/session.ts';
import {
  begin,
  ended,
  found,
  liveSession,
  lost,
  press,
  pulseRuns,
  pulseStops,
  release,
  SECOND,
  seat,
  strike,
  wait,
} from './live-session.ts';
import { fiveNotesPlan, planForPlayers } from './simulate.ts';

const [C, D] = [60, 62];

/**
 * Landings of C and D at 60: four clicks from 1.5 s, entered at 5.5 s, landed on at 6.5 s, held for two beats. The
 * verdict comes half a beat before the hold ends.
 */
const VERDICT_SECONDS = 8;

describe('a note at the very instant of the verdict', () => {
  it('is heard before it and was played past the landing; a moment later the take is over', async () => {
    const noteAt = async (seconds: number) => {
      const work = liveSession(await landingsPlan());
      work.told(begin(), strike(C, 5.5), strike(D, 6.5), strike(C, seconds), wait(8.1));
      return work.news('verdict').map(({ clean }) => clean);
    };
    expect(await noteAt(VERDICT_SECONDS)).toEqual([false]);
    expect(await noteAt(VERDICT_SECONDS + 0.001)).toEqual([true]);
  });
});

describe('the session asks to be woken', () => {
  it('for every click, and a tenth of a second later when it is no longer seen', async () => {
    let { session } = advance(newSession(await landingsPlan()), { type: 'begin', at: 0 });
    const times: number[] = [];
    for (let at = nextWakeUp(session); at !== undefined && at < 5 * SECOND; at = nextWakeUp(session)) {
      times.push(at / SECOND);
      session = advance(session, { type: 'wake', at }).session;
    }
    expect(times).toEqual([1.5, 1.6, 2.5, 2.6, 3.5, 3.6, 4.5, 4.6]);
  });

  it('for nothing while a step without a click waits for its first note, in a pause and at the end', async () => {
    const free = liveSession(await landingsPlan('switchback'));
    expect(nextWakeUp(free.told(begin(), wait(10)))).toBeUndefined();
    expect(nextWakeUp(free.told(strike(C, 12)))).toBeGreaterThan(12 * SECOND);
    expect(nextWakeUp(free.told(press('pause', 12.2)))).toBeUndefined();
    expect(nextWakeUp(free.told(press('quit', 13)))).toBeUndefined();
  });
});

describe('nothing comes of', () => {
  it('a second beginning', async () => {
    const work = liveSession(await landingsPlan());
    ignores(work.told(begin(), wait(3)), begin(3.5));
  });

  it('a beginning where another machine begins', async () => {
    ignores(newSession({ ...(await landingsPlan()), followsPulse: true }), begin());
  });

  it('notes before the beginning', async () => {
    ignores(newSession(await landingsPlan()), strike(C, 0.5));
  });

  it('whatever comes after the end', async () => {
    const left = liveSession(await duoPlan()).told(begin(), press('quit', 3));
    ignores(left, press('again', 4));
    ignores(left, seat('mute', 'oboe', 4));
    ignores(left, strike(C, 4, 'oboe'));
  });

  it('players who are not of the section', async () => {
    const work = liveSession(await duoPlan()).told(begin(), wait(2));
    ignores(work, seat('mute', 'tuba', 2.5));
    ignores(work, strike(C, 2.5, 'tuba'));
  });

  it('an instrument that is found without having been lost', async () => {
    ignores(liveSession(await landingsPlan()).told(begin(), wait(2)), found(2.5));
  });

  it('the release that ends silence: only a note goes on', async () => {
    const silent = liveSession(await landingsPlan()).told(begin(), wait(40));
    expect(silent.stage).toMatchObject({ kind: 'paused', reason: { by: 'silence' } });
    ignores(silent, release(C, 41));
    expect(tell(silent, strike(C, 41)).stage.kind).toBe('waiting');
  });

  it('the release of a note that is a control, which is no pause a second time', async () => {
    const plan = await landingsPlan();
    const controls = { notes: { 36: 'pause' } } as const;
    const mapped = { ...plan, players: [{ ...plan.players[0]!, controls }] };
    const paused = liveSession(mapped).told(begin(), strike(36, 2));
    expect(paused.stage.kind).toBe('paused');
    ignores(paused, release(36, 2.2));
  });

  it('what a muted player plays, in that take and in a silence that waits for a note', async () => {
    const plan = await duoPlan();
    const playing = liveSession(plan).told(begin(), seat('mute', 'oboe', 2), strike(C, 5.5, 'flute'));
    ignores(playing, strike(D, 5.6, 'oboe'));
    const silent = liveSession(plan).told(begin(), seat('mute', 'oboe', 2), wait(60));
    expect(silent.stage).toMatchObject({ kind: 'paused', reason: { by: 'silence' } });
    ignores(silent, strike(C, 61, 'oboe'));
    expect(tell(silent, strike(C, 61, 'flute')).stage.kind).toBe('waiting');
  });
});

describe('a pulse of another machine', () => {
  it('that stops breaks off the take, which is kept as paused, and goes on when it runs again', async () => {
    const work = liveSession(await landingsPlan());
    const stopped = work.told(begin(), pulseRuns(1), strike(C, 5.5), pulseStops(5.8));
    expect(stopped.stage).toMatchObject({ kind: 'paused', reason: { by: 'pulse' } });
    expect(work.ofType('keep').map(({ take }) => take.end)).toEqual(['paused']);
    expect(tell(stopped, pulseRuns(8)).stage.kind).toBe('waiting');
  });

  it('does not end the pause of a player, nor make one where nothing is played', async () => {
    const paused = liveSession(await landingsPlan()).told(begin(), press('pause', 3));
    expect(tell(paused, pulseRuns(4)).stage).toMatchObject({ kind: 'paused', reason: { by: 'player' } });
    const waits = newSession({ ...(await landingsPlan()), followsPulse: true });
    ignores(waits, pulseStops(1));
  });
});

describe('an instrument that is lost', () => {
  it('in a pause is told, and the pause is as it was', async () => {
    const work = liveSession(await landingsPlan());
    const { stage } = work.told(begin(), press('pause', 3), lost(4));
    expect(stage).toMatchObject({ kind: 'paused', reason: { by: 'player' }, sinceMicros: 3 * SECOND });
    expect(work.news('paused').map(({ reason }) => reason.by)).toEqual(['player', 'lost']);
  });

  it('and found again after the player went on without it is told no more of', async () => {
    const work = liveSession(await landingsPlan());
    work.told(begin(), lost(3), press('pause', 4));
    const before = work.news('paused').length;
    expect(work.told(found(5)).stage.kind).toBe('waiting');
    expect(work.news('paused')).toHaveLength(before);
  });

  it('for good has its take played out, and the session ends with the verdict', async () => {
    const work = liveSession(await landingsPlan());
    expect(work.told(begin(), strike(C, 5.5), ended(6)).stage.kind).toBe('playing');
    expect(work.told(wait(9.5)).stage.kind).toBe('finished');
    expect(work.news('verdict')).toHaveLength(1);
    expect(liveSession(await landingsPlan()).told(begin(), press('pause', 3), ended(4)).stage.kind).toBe(
      'finished',
    );
  });

  it('among several and back in the same take was not there for all of it', async () => {
    const work = liveSession(await duoPlan());
    const back = work.told(begin(), lost(2, 'oboe'), found(2.5, 'oboe'), wait(3));
    expect(back.players.map(({ missedTake }) => missedTake)).toEqual([undefined, true]);
    expect(takeOf(back)!.spared).toEqual([1]);
  });
});

// Helpers

const landingsPlan = (drill = 'landings') => fiveNotesPlan(`set drill ${drill}`);

async function duoPlan(): Promise<SessionPlan> {
  return planForPlayers(await landingsPlan(), ['flute', 'oboe']);
}

type SessionEvent = Parameters<typeof advance>[1];

function tell(session: Session, event: SessionEvent): Session {
  return advance(session, event).session;
}

/** Nothing is done, and but for the time the session is as it was at that time. */
function ignores(session: Session, event: SessionEvent): void {
  const without = advance(session, { type: 'wake', at: event.at - 1 });
  expect(advance(without.session, event)).toEqual({
    session: { ...without.session, now: event.at },
    effects: [],
  });
}
