// Pausing and going on.

import type { TakeEnd } from '../record/entry.ts';
import { breakOff } from './break-off.ts';
import { planNext, READY_MICROS } from './next-take.ts';
import type { PauseReason } from './pause-reason.ts';
import { REST_MICROS } from './rest.ts';
import type { Advance, Session } from './session.ts';

export function pause(session: Session, reason: PauseReason, at: number): Advance {
  return {
    session: { ...session, stage: { kind: 'paused', reason, sinceMicros: at } },
    effects: [{ type: 'news', at, news: { kind: 'paused', reason } }],
  };
}

/** What is being played is broken off, and the click stops until something goes on with it. */
export function breakOffAndPause(session: Session, end: TakeEnd, reason: PauseReason, at: number): Advance {
  const broken = breakOff(session, end, at);
  const paused = pause(broken.session, reason, at);
  return { session: paused.session, effects: [...broken.effects, ...paused.effects] };
}

/** A long pause is a rest: what was played before it no longer counts towards the next. */
export function resume(session: Session, at: number): Advance {
  const { stage } = session;
  const rested = stage.kind === 'paused' && at - stage.sinceMicros >= REST_MICROS;
  const { notice: _, ...rest } = session;
  const players = session.players.map((player) => ({ ...player, silentInARow: 0 }));
  const going: Session = {
    ...rest,
    players,
    silentInARow: 0,
    playedMicros: rested ? 0 : session.playedMicros,
  };
  const planned = planNext(going, { kind: 'lead-in', fromMicros: at + READY_MICROS }, at);
  return {
    session: planned.session,
    effects: [{ type: 'news', at, news: { kind: 'resumed' } }, ...planned.effects],
  };
}
