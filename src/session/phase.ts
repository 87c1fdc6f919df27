// Where in its take a session is, at its time: said in one place, so that neither the screen nor the rules have to guess.

import { hasSlipped, isUnbegun, type Take } from '../take/take.ts';
import { stopMicros, tickMicros } from '../take/take-times.ts';
import { isTaking, type Session, type TakePhase } from './session.ts';

/** The session with its stage as its time makes it. */
export function atItsPhase(session: Session): Session {
  const { stage, now } = session;
  if (!isTaking(stage)) return session;
  const { take, soundedUntilMicros } = stage;
  const sounding = soundedUntilMicros !== undefined && now < soundedUntilMicros;
  const kind = sounding ? 'listening' : phaseOf(session, take);
  return { ...session, stage: { kind, take, ...(sounding ? { soundedUntilMicros } : {}) } };
}

function phaseOf({ shown, now }: Session, take: Take): TakePhase {
  // Who enters when they like may do so before the rest is over.
  const isEntered = take.run.pulse === 'free' && now < take.beginMicros && !isUnbegun(take);
  if (isEntered) return hasSlipped(take) ? 'slipped' : 'playing';
  if (shown && now < shown.untilMicros) return shown.take.run.landing ? 'held' : 'resting';
  if (now < take.beginMicros) return 'waiting';
  const stop = stopMicros(take);
  if (stop !== undefined && now >= stop)
    return take.run.landing && take.cutTick === undefined ? 'held' : 'resting';
  if (hasSlipped(take)) return 'slipped';
  if (now < tickMicros(take, take.run.startTick)) return 'lead-in';
  return take.run.pulse === 'free' && isUnbegun(take) ? 'entering' : 'playing';
}
