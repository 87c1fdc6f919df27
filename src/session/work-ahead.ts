// What can be worked out before it is asked for: while the run goes on, how the notes match; once it has stopped, the
// verdict, one player at a time, and what they are to each other. It changes nothing but how long the verdict takes.

import { compareAhead } from '../section/section-verdict.ts';
import { atVerdict, judgeAhead, matchTakeAhead, takeResults } from '../take/result.ts';
import { isSeveral } from './attendance.ts';
import { heardPlayers } from './heard-players.ts';
import { keepAhead } from './keep-take.ts';
import { isTaking, type Session } from './session.ts';

/** Does one piece, of a few milliseconds; false when there is nothing to do until something comes. */
export function workAhead(session: Session): boolean {
  const { stage, shown, now } = session;
  if (!isTaking(stage)) return false;
  // Judged already: the take is the next one.
  if (shown !== undefined && now < shown.untilMicros) return false;
  const { kind, take } = stage;
  const hasStopped = kind === 'held' || kind === 'resting';
  if (matchTakeAhead(take)) return true;
  if (!hasStopped) return false;
  if (judgeAhead(take)) return true;
  const then = atVerdict(take);
  if (!then) return false;
  if (isSeveral(session) && compareAhead(then, heardPlayers(session, then))) return true;
  return keepAhead(session, then, takeResults(then));
}
