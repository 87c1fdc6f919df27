// What a player is told after a take besides its verdict, where it has fallen due: that somebody is left out, an offer
// to take their octave as right, a rest, advice.

import { currentBpm } from '../coaching/ladder.ts';
import { attendanceOf, countedPlayers, isSeveral, SILENT_BEFORE_LEFT_OUT } from './attendance.ts';
import { giveNotice } from './give-notice.ts';
import type { Notice } from './notice.ts';
import { isAdviceDue, isHelpedBySlower } from './repeated-fault.ts';
import { restDueBetween } from './rest.ts';
import { countsForRung, ladderOf } from './rung.ts';
import type { Advance, Session } from './session.ts';
import { isOffered } from './shift-offer.ts';

/** After so many takes in a row that were not clean the coach speaks up. */
const MISSES_BEFORE_ADVICE = 4;

/** `playedBefore`: since the last rest, without the take just judged; microseconds. */
export function dueNotice(session: Session, playedBefore: number, at: number): Advance {
  const leftOut = newlyLeftOut(session);
  if (leftOut.length > 0) return giveNotice(session, { kind: 'left-out', players: leftOut }, at);
  const offered = session.players.findIndex(({ shiftSeen }) => isOffered(shiftSeen));
  const shift = session.players[offered]?.shiftSeen;
  if (shift) {
    const player = isSeveral(session) ? { player: session.plan.players[offered]!.name } : {};
    return giveNotice(session, { kind: 'shift', shift, ...player }, at);
  }
  const minutes = restDueBetween(playedBefore, session.playedMicros);
  if (minutes !== undefined) return giveNotice(session, { kind: 'rest', minutes }, at);
  const advice = adviceOn(session);
  return advice ? giveNotice(session, advice, at) : { session, effects: [] };
}

/** Those for whom nobody waits from this take on. */
function newlyLeftOut(session: Session): string[] {
  if (!isSeveral(session) || countedPlayers(session).length === 0) return [];
  return session.plan.players.flatMap(({ name }, i) =>
    session.players[i]!.silentInARow === SILENT_BEFORE_LEFT_OUT && attendanceOf(session, i) === 'left-out'
      ? [name]
      : [],
  );
}

function adviceOn(session: Session): Notice | undefined {
  if (isAdviceDue(session.repeated))
    return { kind: 'repeated', fault: session.repeated, drill: session.steps[session.index]!.drill };
  const { missesInARow, cleanInARow, passes } = session.gate;
  const ladder = ladderOf(session);
  if (ladder && !countsForRung(session)) {
    return cleanInARow === passes
      ? { kind: 'clean-off-rung', takes: passes, rungBpm: currentBpm(ladder) }
      : undefined;
  }
  if (missesInARow === 0 || missesInARow % MISSES_BEFORE_ADVICE !== 0) return undefined;
  // The same fault has had advice of its own.
  if (session.repeated && !isHelpedBySlower(session.repeated)) return undefined;
  // On a higher rung the ladder goes down by itself, and that is help enough.
  if (ladder && ladder.rung > 0) return undefined;
  return { kind: 'misses', takes: missesInARow, onLowestRung: ladder !== undefined };
}
