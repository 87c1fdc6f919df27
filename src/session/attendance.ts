// Who of several players is listened to, who counts at the gate, and for whom nobody waits.

import type { Attendance } from '../record/played-together.ts';
import { hearingOf, type Take } from '../take/take.ts';
import { isTaking, type PlayerState, type Session } from './session.ts';

/** After so many takes without a note nobody waits for a player any more. */
export const SILENT_BEFORE_LEFT_OUT = 2;

export function isSeveral({ plan }: Pick<Session, 'plan'>): boolean {
  return plan.players.length > 1;
}

/** A player alone always counts. */
export function attendanceOf(session: Session, player: number): Attendance {
  if (!isSeveral(session)) return 'counted';
  const { standing, presence, missedTake, silentInARow } = session.players[player]!;
  if (standing === 'muted') return 'muted';
  if (missedTake || presence.kind === 'lost') return 'away';
  if (standing === 'excused') return 'excused';
  if (session.focus !== undefined && session.focus !== player) return 'aside';
  return silentInARow >= SILENT_BEFORE_LEFT_OUT ? 'left-out' : 'counted';
}

export function countedPlayers(session: Session): number[] {
  return session.players.flatMap((_, i) => (attendanceOf(session, i) === 'counted' ? [i] : []));
}

/** How many of those who count must be clean. */
export function neededClean(session: Session, counted: number): number {
  return Math.min(session.plan.section?.quorum ?? counted, counted);
}

/** The players whose slips do not stop the take, and how many of the others may slip before it stops. */
export function stopRules(session: Session): Pick<Take, 'unstopped' | 'spared' | 'slipsAllowed'> {
  const { plan, players } = session;
  const counted = countedPlayers(session);
  return {
    unstopped: plan.runThroughs !== undefined || (plan.section?.runOn ?? false),
    spared: players.flatMap((_, i) => (counted.includes(i) ? [] : [i])),
    slipsAllowed: counted.length - neededClean(session, counted.length),
  };
}

/** The session with the take under way stopping by the rules as they are now. */
export function withStopRules(session: Session): Session {
  const { stage } = session;
  return isTaking(stage)
    ? { ...session, stage: { ...stage, take: { ...stage.take, ...stopRules(session) } } }
    : session;
}

export function withPlayer(session: Session, player: number, change: Partial<PlayerState>): Session {
  const players = session.players.map((one, i) => (i === player ? { ...one, ...change } : one));
  return { ...session, players };
}

/** At the beginning of a take: whoever is not there now has missed it, even if they come back while it is played. */
export function takeAttendance(session: Session): Session {
  const players = session.players.map(
    ({ missedTake: _, ...one }): PlayerState =>
      one.presence.kind === 'present' ? one : { ...one, missedTake: true },
  );
  return { ...session, players };
}

/** Takes in a row in which nothing of a player was heard, although they had notes to play and were listened to. */
export function silentTakes(session: Session, take: Take, player: number): number {
  const line = take.lines[player]!;
  const before = session.players[player]!.silentInARow;
  if (hearingOf(line).lastNoteMicros !== undefined) return 0;
  const couldPlay = session.players[player]!.standing !== 'muted' && !session.players[player]!.missedTake;
  return couldPlay && line.terms.line.onsets.length > 0 ? before + 1 : before;
}
