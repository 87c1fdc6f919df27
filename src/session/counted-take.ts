// What a take counts for: at the gate, on the ladder, for each player and towards the rest, and what comes next. All of
// it but the telling, so that the screen can look ahead while a landing is held.

import { countTake, type Gate, isOpen } from '../coaching/gate.ts';
import type { Ladder } from '../coaching/ladder.ts';
import { type Climb, climbAfter } from '../coaching/rounds.ts';
import type { Attendance } from '../record/played-together.ts';
import { type TakeResult, takeResults } from '../take/result.ts';
import type { Take } from '../take/take.ts';
import { endMicros } from '../take/take-times.ts';
import { attendanceOf, neededClean, silentTakes } from './attendance.ts';
import { chargeInterval } from './costly-interval.ts';
import { repeatedFault } from './repeated-fault.ts';
import { countsForRung, isLastOfItsRun, ladderOf, withLadder } from './rung.ts';
import type { PlayerState, Session, StepTally } from './session.ts';
import { seeShift } from './shift-offer.ts';
import { seenWith } from './usual-playing.ts';

export interface PlayerResult extends TakeResult {
  /** Index among the plan's players. */
  readonly player: number;
  readonly attendance: Attendance;
}

export interface CountedTake {
  /** In the plan's order. */
  readonly results: readonly PlayerResult[];
  /** Of those who count. */
  readonly counting: readonly PlayerResult[];
  /** Shown is the take that asks for something: the first that was not clean. */
  readonly shown: PlayerResult;
  /** So many clean takes of players were needed for it to be clean. */
  readonly needed: number;
  readonly clean: boolean;
  /** At the gate, as clean or as a miss. */
  readonly counts: boolean;
  readonly gate: Gate;
  readonly ladder: Ladder | undefined;
  readonly next: Climb;
  /** The session with the take in all its counts. */
  readonly session: Session;
}

export function countedTake(session: Session, take: Take): CountedTake {
  const results = takeResults(take).map((result, player) => ({
    ...result,
    player,
    attendance: attendanceOf(session, player),
  }));
  const counting = results.filter(({ attendance }) => attendance === 'counted');
  // A run that was stopped for a slip which the whole take does not bear out was not played to its stop: it counts
  // neither as clean nor as a miss.
  const whole = take.cutTick === undefined;
  const needed = neededClean(session, counting.length);
  const clean = counting.length > 0 && counting.filter((result) => result.clean).length >= needed;
  const awaited = counting.filter(({ player }) => take.lines[player]!.terms.line.onsets.length > 0);
  const silent = awaited.every(({ verdict }) => verdict.troubles.some(({ kind }) => kind === 'silent'));
  const counts = !silent && (whole || counting.some(({ verdict }) => !verdict.clean));
  const gate = counts ? countTake(session.gate, clean) : session.gate;
  const standing = ladderOf(session);
  const climbed =
    standing && counts && countsForRung(session)
      ? climbAfter(standing, { clean, lastStep: isLastOfItsRun(session) })
      : undefined;
  const ladder = climbed?.ladder ?? standing;
  const next = climbed?.next ?? (standing ? 'again' : nextByGate(session, gate, silent));
  const onward = next !== 'again';
  const shown = counting.find(({ verdict }) => !verdict.clean) ?? counting[0] ?? results[0]!;
  const tookMicros = Math.max(0, endMicros(take)! - take.beginMicros);
  const repeated = silent
    ? session.repeated
    : repeatedFault(session.repeated, shown.verdict.troubles[0], take.lines[shown.player]!.terms.line);
  const { notice: _, repeated: __, ...rest } = ladder ? withLadder(session, ladder) : session;
  // By rounds a step is passed when it is passed on the top rung.
  const passed = onward && (standing?.plan.by !== 'round' || standing.rung === standing.rungs.length - 1);
  return {
    results,
    counting,
    shown,
    needed,
    clean,
    counts,
    gate,
    ladder,
    next,
    session: {
      ...rest,
      ...(repeated && !onward ? { repeated } : {}),
      gate,
      takes: session.takes + 1,
      kept: session.kept + results.filter(({ attendance }) => attendance !== 'muted').length,
      keptTogether: session.keptTogether + 1,
      cleanTakes: session.cleanTakes + (clean ? 1 : 0),
      costs: counting.reduce(
        (costs, { player, verdict }) =>
          chargeInterval(costs, verdict.troubles[0], take.lines[player]!.terms.line),
        session.costs,
      ),
      tallies: silent ? session.tallies : tally(session.tallies, session.index, { clean, passed }),
      playedMicros: session.playedMicros + tookMicros,
      workedMicros: session.workedMicros + tookMicros,
      silentInARow: silent ? session.silentInARow + 1 : 0,
      players: playersSeen(session, take, results),
    },
  };
}

/** Without a ladder: the gate open, or (a survey) the step played often enough. */
function nextByGate({ plan, tallies, index }: Session, gate: Gate, silent: boolean): Climb {
  const { runThroughs } = plan;
  const done =
    runThroughs === undefined ? isOpen(gate) : tallies[index]!.takes + (silent ? 0 : 1) >= runThroughs;
  return done ? 'next-step' : 'again';
}

/** What the take has shown of each player. */
function playersSeen(session: Session, take: Take, results: readonly TakeResult[]): PlayerState[] {
  return session.players.map(({ shiftSeen, ...player }, i) => {
    const seen = seeShift(shiftSeen, { ...results[i]!, line: take.lines[i]!.terms.line });
    return {
      ...player,
      ...(seen ? { shiftSeen: seen } : {}),
      seen: seenWith(player.seen, results[i]!),
      silentInARow: silentTakes(session, take, i),
    };
  });
}

function tally(
  tallies: readonly StepTally[],
  index: number,
  { clean, passed }: { clean: boolean; passed: boolean },
): StepTally[] {
  return tallies.map((one, i) =>
    i === index
      ? {
          takes: one.takes + 1,
          cleanTakes: one.cleanTakes + (clean ? 1 : 0),
          state: passed ? 'passed' : one.state,
        }
      : one,
  );
}
