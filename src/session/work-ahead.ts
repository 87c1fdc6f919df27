// What can be worked out before it is asked for: the verdict on many players, one player at a time, and what they
// are to each other, once their run has stopped. It changes nothing but how long the verdict takes.

import { compareAhead } from '../section/section-verdict.ts';
import { atVerdict, judgeAhead, takeResults } from '../take/result.ts';
import { isSeveral } from './attendance.ts';
import { heardPlayers } from './heard-players.ts';
import { keepAhead } from './keep-take.ts';
import { isTaking, type Session } from './session.ts';

/** Does one piece; false when there is nothing to do until something comes. */
export function workAhead(session: Session): boolean {
  const { stage, shown, now } = session;
  if (!isSeveral(session) || !isTaking(stage)) return false;
  const stopped = stage.kind === 'held' || stage.kind === 'resting';
  const judged = shown !== undefined && now < shown.untilMicros;
  if (!stopped || judged) return false;
  if (judgeAhead(stage.take)) return true;
  const then = atVerdict(stage.take);
  if (!then) return false;
  return compareAhead(then, heardPlayers(session, then)) || keepAhead(session, then, takeResults(then));
}
