// What can be worked out before it is asked for: the verdict on many players, one player at a time, once their run has
// stopped. It changes nothing but how long the verdict takes.

import { judgeAhead } from '../take/result.ts';
import { isSeveral } from './attendance.ts';
import { isTaking, type Session } from './session.ts';

/** Does one piece; false when there is nothing to do until something comes. */
export function workAhead(session: Session): boolean {
  const { stage, shown, now } = session;
  if (!isSeveral(session) || !isTaking(stage)) return false;
  const stopped = stage.kind === 'held' || stage.kind === 'resting';
  const judged = shown !== undefined && now < shown.untilMicros;
  return stopped && !judged && judgeAhead(stage.take);
}
