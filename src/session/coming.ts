// What comes after a hold, known before the verdict is given: so that the player sees the next run while there is time
// to look at it.

import { hearingOf, isJoined, type Take, takeTime } from '../take/take.ts';
import { endMicros, stopMicros, verdictMicros } from '../take/take-times.ts';
import { countedTake, goOn } from './conclude.ts';
import { isTaking, type Session } from './session.ts';

/**
 * The run that is entered straight from the landing now being held. Before the verdict: the one that comes if nothing
 * more is played; undefined while the landing has not been reached, and where a lead-in comes first.
 */
export function comingRun(session: Session): Take | undefined {
  const { stage, shown, now } = session;
  if (!isTaking(stage) || stage.kind !== 'held') return undefined;
  const { take } = stage;
  if (shown && now < shown.untilMicros) return isJoined(take) ? take : undefined;
  const reached = take.lines.every(
    (line, i) =>
      take.spared?.includes(i) === true ||
      line.terms.line.onsets.length === 0 ||
      hearingOf(line).completeMicros !== undefined,
  );
  if (!take.run.joinsNext || !reached) return undefined;
  const verdict = verdictMicros(take)!;
  const whole = takeTime(take, verdict);
  const { session: counted, next } = countedTake(session, whole);
  const after = goOn(counted, whole, next, verdict).session.stage;
  return isTaking(after) && isJoined(after.take) ? after.take : undefined;
}

/** When the landing that is held may be let go; undefined where none is. */
function holdEndMicros({ stage, shown, now }: Session): number | undefined {
  if (!isTaking(stage) || stage.kind !== 'held') return undefined;
  return shown && now < shown.untilMicros ? shown.untilMicros : endMicros(stage.take);
}

/** Beats of the hold that are left, from its length down to 1; undefined where nothing is held. */
export function holdBeatsLeft(session: Session): number | undefined {
  const end = holdEndMicros(session);
  const { stage, shown, now } = session;
  if (end === undefined || !isTaking(stage)) return undefined;
  const held = shown && now < shown.untilMicros ? shown.take : stage.take;
  const stop = stopMicros(held);
  const { holdBeats } = held.run;
  if (stop === undefined || holdBeats <= 0) return undefined;
  const beat = (end - stop) / holdBeats;
  return Math.min(holdBeats, Math.max(1, Math.ceil((end - now) / beat)));
}
