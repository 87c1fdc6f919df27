// What the verdict on a section is made of: what each player's take was, and how they took part in it.

import type { HeardPlayer } from '../section/section-verdict.ts';
import { takeResults } from '../take/result.ts';
import type { Take } from '../take/take.ts';
import { attendanceOf } from './attendance.ts';
import type { Session } from './session.ts';

/** In the plan's order. */
export function heardPlayers(session: Session, take: Take): HeardPlayer[] {
  return takeResults(take).map((result, player) => ({
    name: session.plan.players[player]!.name,
    attendance: attendanceOf(session, player),
    calibrated: session.plan.players[player]!.calibrated === true,
    result,
  }));
}
