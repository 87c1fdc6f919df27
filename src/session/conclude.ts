// The end of a take: the verdict, what is kept of it, and what comes next. Only a clean take counts at the gate.

import { blipFingers } from '../coaching/blip-fingers.ts';
import { currentBpm } from '../coaching/ladder.ts';
import type { Climb } from '../coaching/rounds.ts';
import { sectionVerdict } from '../section/section-verdict.ts';
import type { Take } from '../take/take.ts';
import { endMicros } from '../take/take-times.ts';
import { attendanceOf, countedPlayers, isSeveral, SILENT_BEFORE_LEFT_OUT } from './attendance.ts';
import { countedTake, type PlayerResult } from './counted-take.ts';
import type { Effect } from './effect.ts';
import { finish } from './finish.ts';
import { giveNotice } from './give-notice.ts';
import { heardPlayers } from './heard-players.ts';
import { keepTake, togetherOf } from './keep-take.ts';
import { nextStep, planNext } from './next-take.ts';
import type { Notice } from './notice.ts';
import { pause } from './pause.ts';
import { isAdviceDue } from './repeated-fault.ts';
import { restDueBetween } from './rest.ts';
import { countsForRung, firstOfItsRun, ladderOf } from './rung.ts';
import { type Advance, isTimeUp, nothingMoreComes, runThroughOf, type Session } from './session.ts';
import { isOffered } from './shift-offer.ts';
import { stepInForce } from './step-in-force.ts';
import { type TakeReport, takeReport } from './take-report.ts';

/** After so many takes in a row that were not clean the coach speaks up. */
const MISSES_BEFORE_ADVICE = 4;
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
  const noticed = notice(judged, session.playedMicros, at);
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

function reportOn(session: Session, take: Take, result: PlayerResult): TakeReport {
  const { line } = take.lines[result.player]!.terms;
  const [worst] = result.verdict.troubles;
  return takeReport(result, line, blipFingers(worst, session.plan, line, take.run.tempo));
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
