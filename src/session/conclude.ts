// The end of a take: its verdict, what it counts for, what is kept of it, and what comes next. Only a clean take counts
// at the gate.

import { blipFingers } from '../coaching/blip-fingers.ts';
import { countTake, type Gate, isOpen } from '../coaching/gate.ts';
import type { Ladder } from '../coaching/ladder.ts';
import { type Climb, climbAfter } from '../coaching/rounds.ts';
import type { Attendance } from '../record/played-together.ts';
import { sectionVerdict } from '../section/section-verdict.ts';
import { type TakeResult, takeResults } from '../take/result.ts';
import type { Take } from '../take/take.ts';
import { endMicros } from '../take/take-times.ts';
import { attendanceOf, isSeveral, neededClean, silentTakes } from './attendance.ts';
import { chargeInterval } from './costly-interval.ts';
import { dueNotice } from './due-notice.ts';
import type { Effect } from './effect.ts';
import { finish } from './finish.ts';
import { heardPlayers } from './heard-players.ts';
import { keepTake, togetherOf } from './keep-take.ts';
import { followingIndex, nextStep, planNext } from './next-take.ts';
import { pause } from './pause.ts';
import { repeatedFault } from './repeated-fault.ts';
import { countsForRung, firstOfItsRun, isLastOfItsRun, ladderOf, withLadder } from './rung.ts';
import {
  type Advance,
  isTimeUp,
  nothingMoreComes,
  type PlayerState,
  runThroughOf,
  type Session,
  type StepTally,
} from './session.ts';
import { seeShift } from './shift-offer.ts';
import { stepInForce } from './step-in-force.ts';
import { type TakeReport, takeReport } from './take-report.ts';
import { seenWith } from './usual-playing.ts';

/** After so many takes in which nothing was heard the click stops. */
const SILENT_BEFORE_PAUSE = 2;

export function conclude(session: Session, take: Take, at: number): Advance {
  const end = endMicros(take)!;
  const counted = countedTake(session, take);
  const { results, counting, shown, needed, clean, counts, gate, ladder, next } = counted;
  const reports = results.map((result) => reportOn(session, take, result));
  const onward = next !== 'again';

  const effects: Effect[] = [];
  // The sound says what comes next: strike the landing again, or wait for the lead-in.
  if (!session.plan.quiet) effects.push({ type: 'signal', kind: onward ? 'onward' : 'again', at });
  const outcome = {
    standing: { gate, ladder, runThrough: runThroughOf(session) },
    next,
    ownTempo: session.tempoScale < 1,
  };
  let order = session.kept;
  for (const { player, played, clean: isClean, attendance } of results) {
    if (attendance === 'muted') continue;
    order += 1;
    const away = attendance === 'away';
    const report = reports[player]!;
    effects.push(
      keepTake(session, take, player, at, {
        order,
        end: away ? 'lost' : take.cutTick === undefined ? 'stopped' : 'slipped',
        clean: isClean && !away,
        counted: counts && attendance === 'counted',
        onward,
        ...togetherOf(session, player, needed),
        gate,
        report,
      }),
      {
        type: 'news',
        at,
        news: {
          kind: 'verdict',
          player: session.plan.players[player]!.id,
          clean: isClean,
          report,
          onward,
          ...outcome,
          played,
          ...(isSeveral(session) ? { ofSection: true as const } : {}),
        },
      },
    );
  }
  const section = isSeveral(session)
    ? {
        verdict: sectionVerdict(take, heardPlayers(session, take), {
          clean,
          needed,
          counted: counting.length,
        }),
        takes: reports,
      }
    : undefined;
  if (section)
    effects.push({ type: 'news', at, news: { kind: 'section', report: section, onward, ...outcome } });

  const { lateFingers } = reports[shown.player]!;
  const judged: Session = {
    ...counted.session,
    shown: {
      index: session.index,
      gate,
      ...(ladder ? { ladder } : {}),
      take,
      player: shown.player,
      ...(lateFingers ? { lateFingers } : {}),
      onward,
      ...(section ? { section } : {}),
      untilMicros: end,
    },
  };
  const noticed = dueNotice(judged, session.playedMicros, at);
  const gone = goOn(noticed.session, take, next, at);
  return { session: gone.session, effects: [...effects, ...noticed.effects, ...gone.effects] };
}

/** What comes after a take that is counted: the next one, a pause, or the end. */
export function goOn(session: Session, take: Take, next: Climb, at: number): Advance {
  const end = endMicros(take)!;
  if (nothingMoreComes(session) || isTimeUp(session)) return finish(session, at);
  if (next === 'again') {
    if (session.silentInARow >= SILENT_BEFORE_PAUSE) {
      const paused = pause(session, { by: 'silence' }, at);
      return { session: paused.session, effects: [{ type: 'silence', from: at }, ...paused.effects] };
    }
    return planNext(session, { kind: 'lead-in', fromMicros: end }, at);
  }
  const index = next === 'next-round' ? firstOfItsRun(session) : followingIndex(session);
  if (index >= session.steps.length) return finish(session, at);
  const moved = nextStep(session, index - session.index);
  // A tempo that changes is always counted in.
  const joins =
    take.run.joinsNext &&
    index === session.index + 1 &&
    (session.pulse !== undefined || stepInForce(moved).run.tempo.bpm === take.run.tempo.bpm);
  return planNext(moved, joins ? { kind: 'join', atMicros: end } : { kind: 'lead-in', fromMicros: end }, at);
}

function reportOn(session: Session, take: Take, result: PlayerResult): TakeReport {
  const { line } = take.lines[result.player]!.terms;
  const [worst] = result.verdict.troubles;
  return takeReport(result, line, blipFingers(worst, session.plan, line, take.run.tempo));
}

interface PlayerResult extends TakeResult {
  /** Index among the plan's players. */
  readonly player: number;
  readonly attendance: Attendance;
}

interface CountedTake {
  /** In the plan's order. */
  readonly results: readonly PlayerResult[];
  /** Of those who count. */
  readonly counting: readonly PlayerResult[];
  /** The one that is shown: the first that was not clean, because it asks for something; else the first. */
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

/** All of the end of a take but the telling, so that the screen can look ahead while a landing is held. */
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
  // Where the ladder is climbed round by round, a step is passed only on the top rung.
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
