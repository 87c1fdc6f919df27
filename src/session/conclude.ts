// The end of a take: the verdict, what is kept of it, and what comes next. Only a clean take counts at the gate.

import { blipFingers } from '../coaching/blip-fingers.ts';
import { countTake, type Gate, isOpen } from '../coaching/gate.ts';
import { currentBpm } from '../coaching/ladder.ts';
import { type Climb, climbAfter } from '../coaching/rounds.ts';
import { sectionVerdict } from '../section/section-verdict.ts';
import { type TakeResult, takeResults } from '../take/result.ts';
import { endMicros, type Take } from '../take/take.ts';
import {
  attendanceOf,
  countedPlayers,
  isSeveral,
  neededClean,
  SILENT_BEFORE_LEFT_OUT,
  silentTakes,
} from './attendance.ts';
import { chargeInterval } from './costly-interval.ts';
import type { Effect } from './effect.ts';
import { finish } from './finish.ts';
import { giveNotice } from './give-notice.ts';
import { keepTake } from './keep-take.ts';
import { nextStep, planNext } from './next-take.ts';
import type { Notice } from './notice.ts';
import { pause } from './pause.ts';
import { isAdviceDue, repeatedFault } from './repeated-fault.ts';
import { restDueBetween } from './rest.ts';
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
import { isOffered, seeShift } from './shift-offer.ts';
import { stepInForce } from './step-in-force.ts';
import { type TakeReport, takeReport } from './take-report.ts';
import { seenWith } from './usual-playing.ts';

/** After so many takes in a row that were not clean the coach speaks up. */
const MISSES_BEFORE_ADVICE = 4;
/** After so many takes in which nothing was heard the click stops. */
const SILENT_BEFORE_PAUSE = 2;

export function conclude(session: Session, take: Take, at: number): Advance {
  const end = endMicros(take)!;
  const results = takeResults(take).map((result, player) => ({
    ...result,
    player,
    report: reportOn(session, take, player, result),
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

  const effects: Effect[] = [];
  // The sound says what comes next: strike the landing again, or wait for the lead-in.
  if (!session.plan.quiet) effects.push({ type: 'signal', kind: onward ? 'onward' : 'again', at });
  const outcome = {
    standing: { gate, ladder, runThrough: runThroughOf(session) },
    next,
    ownTempo: session.tempoScale < 1,
  };
  let order = session.kept;
  for (const { player, played, clean: isClean, report, attendance } of results) {
    if (attendance === 'muted') continue;
    order += 1;
    const away = attendance === 'away';
    effects.push(
      keepTake(session, take, player, at, {
        order,
        end: away ? 'lost' : whole ? 'stopped' : 'slipped',
        clean: isClean && !away,
        counted: counts && attendance === 'counted',
        onward,
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
        verdict: sectionVerdict(
          take,
          results.map((result) => ({
            name: session.plan.players[result.player]!.name,
            attendance: result.attendance,
            calibrated: session.plan.players[result.player]!.calibrated === true,
            result,
          })),
          { clean, needed, counted: counting.length },
        ),
        takes: results.map(({ report }) => report),
      }
    : undefined;
  if (section)
    effects.push({ type: 'news', at, news: { kind: 'section', report: section, onward, ...outcome } });

  // Shown is the take that asks for something: the first that was not clean.
  const shown = counting.find(({ verdict }) => !verdict.clean) ?? counting[0] ?? results[0]!;
  const playedMicros = session.playedMicros + Math.max(0, end - take.beginMicros);
  const repeated = silent
    ? session.repeated
    : repeatedFault(session.repeated, shown.verdict.troubles[0], take.lines[shown.player]!.terms.line);
  const { notice: _, repeated: __, ...rest } = ladder ? withLadder(session, ladder) : session;
  // By rounds a step is passed when it is passed on the top rung.
  const passed = onward && (standing?.plan.by !== 'round' || standing.rung === standing.rungs.length - 1);
  const counted: Session = {
    ...rest,
    ...(repeated && !onward ? { repeated } : {}),
    gate,
    takes: session.takes + 1,
    kept: order,
    cleanTakes: session.cleanTakes + (clean ? 1 : 0),
    costs: counting.reduce(
      (costs, { player, verdict }) =>
        chargeInterval(costs, verdict.troubles[0], take.lines[player]!.terms.line),
      session.costs,
    ),
    tallies: silent ? session.tallies : tally(session.tallies, session.index, { clean, passed }),
    playedMicros,
    workedMicros: session.workedMicros + playedMicros - session.playedMicros,
    silentInARow: silent ? session.silentInARow + 1 : 0,
    players: playersSeen(session, take, results),
    shown: {
      index: session.index,
      gate,
      ...(ladder ? { ladder } : {}),
      take,
      player: shown.player,
      ...(shown.report.lateFingers ? { lateFingers: shown.report.lateFingers } : {}),
      onward,
      ...(section ? { section } : {}),
      untilMicros: end,
    },
  };
  const noticed = notice(counted, session.playedMicros, at);
  const gone = onwardOrAgain(noticed.session, take, next, at);
  return { session: gone.session, effects: [...effects, ...noticed.effects, ...gone.effects] };
}

/** Without a ladder: the gate open, or (a survey) the step played often enough. */
function nextByGate({ plan, tallies, index }: Session, gate: Gate, silent: boolean): Climb {
  const { runThroughs } = plan;
  const done =
    runThroughs === undefined ? isOpen(gate) : tallies[index]!.takes + (silent ? 0 : 1) >= runThroughs;
  return done ? 'next-step' : 'again';
}

function onwardOrAgain(session: Session, take: Take, next: Climb, at: number): Advance {
  const end = endMicros(take)!;
  if (nothingMoreComes(session) || isTimeUp(session)) return finish(session, at);
  if (next === 'again') {
    if (session.silentInARow >= SILENT_BEFORE_PAUSE) {
      const paused = pause(session, { by: 'silence' }, at);
      return { session: paused.session, effects: [{ type: 'silence', from: at }, ...paused.effects] };
    }
    return planNext(session, { kind: 'lead-in', fromMicros: end }, at);
  }
  const index = next === 'next-round' ? firstOfItsRun(session) : session.index + 1;
  if (index >= session.steps.length) return finish(session, at);
  const moved = nextStep(session, index - session.index);
  // A tempo that changes is always counted in.
  const joins =
    take.run.joinsNext &&
    next !== 'next-round' &&
    (session.pulse !== undefined || stepInForce(moved).run.tempo.bpm === take.run.tempo.bpm);
  return planNext(moved, joins ? { kind: 'join', atMicros: end } : { kind: 'lead-in', fromMicros: end }, at);
}

function reportOn(session: Session, take: Take, player: number, result: TakeResult): TakeReport {
  const { line } = take.lines[player]!.terms;
  const [worst] = result.verdict.troubles;
  return takeReport(result, line, blipFingers(worst, session.plan, line, take.run.tempo));
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

/** A rest prompt, an offer or advice that has fallen due. */
function notice(session: Session, playedBefore: number, at: number): Advance {
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
  // Higher up the ladder itself goes down.
  if (ladder && ladder.rung > 0) return undefined;
  return { kind: 'misses', takes: missesInARow, onLowestRung: ladder !== undefined };
}
