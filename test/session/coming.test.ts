// The run that comes after a landing, as it is known while the landing is held.

import { describe, expect, it } from 'vitest';
import { advance } from '../../src/session/advance.ts';
import { comingRun, holdBeatsLeft } from '../../src/session/coming.ts';
import type { SessionEvent } from '../../src/session/event.ts';
import type { SessionPlan } from '../../src/session/plan.ts';
import { type Session, takeOf } from '../../src/session/session.ts';
import { tickMicros } from '../../src/take/take-times.ts';
import { begin, ended, liveSession, SECOND, seat, strike, wait } from './live-session.ts';
import { fiveNotesPlan, planForPlayers } from './simulate.ts';

const [C, D, E] = [60, 62, 64];

/** Landed on the second of two notes at 6.5 s, and looked at before the verdict. */
async function landed(): Promise<Session> {
  return liveSession(await fiveNotesPlan()).told(begin(), strike(C, 5.5), strike(D, 6.5), wait(7.2));
}

describe('the coming run', () => {
  it('is the one that is planned at the verdict', async () => {
    const session = await landed();
    const coming = comingRun(session)!;
    const { session: judged } = advance(session, { type: 'wake', at: 8_200_000 });
    expect(judged.shown!.onward).toBe(true);
    expect(takeOf(judged)).toEqual(coming);
  });

  it('is told for the landing that is held now, not for the one before', async () => {
    const work = liveSession(await fiveNotesPlan());
    // The second landing, entered at 8.5 s from the first.
    const held = work.told(begin(), strike(C, 5.5), strike(D, 6.5), strike(D, 8.5), strike(E, 9.5), wait(10));
    expect(holdBeatsLeft(held)).toBe(2);
    const coming = comingRun(held)!;
    expect(coming.run.name).toContain('beats 3 to 4');
    const judged = work.told(wait(11.2));
    expect([takeOf(judged), comingRun(judged)]).toEqual([coming, coming]);
    expect(comingRun(work.told(wait(11.6)))).toBeUndefined();
  });

  it('is none before the landing is due, none after a slip and none after the last step', async () => {
    const early = liveSession(await fiveNotesPlan()).told(
      begin(),
      strike(C, 5.5),
      strike(D, 6.46),
      wait(6.48),
    );
    expect([early.stage.kind, comingRun(early)]).toEqual(['playing', undefined]);
    const slipped = liveSession(await fiveNotesPlan());
    expect(comingRun(slipped.told(begin(), strike(C, 5.5), strike(E, 6.5), wait(7.2)))).toBeUndefined();
    expect(comingRun(slipped.told(wait(8.2)))).toBeUndefined();
    const last = { ...(await fiveNotesPlan()), startsAt: { index: 3, onceClean: false } };
    const work = liveSession(last);
    const take = takeOf(work.told(begin()))!;
    const entry = tickMicros(take, take.run.startTick) / SECOND;
    const end = work.told(strike(65, entry), strike(67, entry + 1), wait(entry + 1.5));
    expect([end.stage.kind, comingRun(end)]).toEqual(['held', undefined]);
  });

  it('of several is known when all who count have landed, whoever rests or is excused', async () => {
    const plan = planForPlayers(await fiveNotesPlan(), ['flute', 'oboe']);
    const section = { name: 'duo', runOn: false, quorum: 1 };
    const flute = [strike(C, 5.5, 'flute'), strike(D, 6.5, 'flute')];
    const begun = strike(C, 5.51, 'oboe');
    const looked = (one: SessionPlan, ...events: SessionEvent[]) =>
      comingRun(liveSession(one).told(begin(), ...events, wait(7.2)));
    // One clean take is enough, but the other may still play on.
    expect(looked({ ...plan, section }, flute[0]!, begun, flute[1]!)).toBeUndefined();
    const [first, second] = plan.players;
    const rests = { ...plan, players: [first!, { ...second!, parts: [1] }] };
    expect(looked(rests, ...flute)).toBeDefined();
    expect(looked(plan, seat('excuse', 'oboe', 2), ...flute)).toBeDefined();
    expect(looked(plan, ...flute)).toBeUndefined();
  });

  it('is none once the instrument has nothing more to send: the session ends at the verdict', async () => {
    const session = await landed();
    expect(comingRun(session)).toBeDefined();
    const { session: alone } = advance(session, ended(7.3));
    expect(comingRun(alone)).toBeUndefined();
    expect(advance(alone, { type: 'wake', at: 8_200_000 }).session.stage.kind).toBe('finished');
  });
});
