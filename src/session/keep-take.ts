// What a session keeps of one player's take: the step as it was asked, what was played, and what came of it.

import type { Gate } from '../coaching/gate.ts';
import { ENTRY_FORMAT, type TakeEnd } from '../record/entry.ts';
import { type KeptVerdict, keptVerdict } from '../record/kept-verdict.ts';
import type { PlayedTogether } from '../record/played-together.ts';
import { Remembered } from '../remembered.ts';
import { JUDGE_VERSION } from '../take/judge-version.ts';
import { earlyStopOf, type TakeResult } from '../take/result.ts';
import { eventsIn, forgetMatches, type Take } from '../take/take.ts';
import type { TakeTerms } from '../take/terms.ts';
import type { TakeVerdict } from '../take/verdict.ts';
import { attendanceOf } from './attendance.ts';
import type { Effect } from './effect.ts';
import type { PlannedStep, SessionPlan } from './plan.ts';
import { isLastOfItsRun } from './rung.ts';
import type { Session } from './session.ts';
import type { TakeReport } from './take-report.ts';

export interface TakeOutcome {
  readonly order: number;
  readonly end: TakeEnd;
  readonly clean: boolean;
  readonly counted: boolean;
  readonly onward: boolean;
  /** Where several play as a section. */
  readonly together?: PlayedTogether;
  /** After the take. */
  readonly gate: Gate;
  /** Where it was judged, and not broken off. */
  readonly report?: TakeReport;
}

/** Which take of the section it is, and how a player takes part in it; nothing where nobody plays as a section. */
export function togetherOf(
  session: Session,
  player: number,
  needed: number,
): { readonly together?: PlayedTogether } {
  const { section, players } = session.plan;
  if (!section) return {};
  return {
    together: {
      section: section.name,
      take: session.keptTogether + 1,
      attendance: attendanceOf(session, player),
      needed,
      ...(players[player]!.calibrated ? { calibrated: true as const } : {}),
    },
  };
}

/** Works out, before it is asked for, what is kept of one player's verdict; false when nothing is left to work out. */
export function keepAhead({ plan }: Session, take: Take, results: readonly TakeResult[]): boolean {
  const next = results.findIndex(({ verdict }) => !KEPT_VERDICTS.known(verdict));
  if (next < 0) return false;
  keptOf(results[next]!.verdict, take.lines[next]!.terms, plan.section !== undefined);
  return true;
}

function keptOf(verdict: TakeVerdict, terms: TakeTerms, together: boolean): KeptVerdict {
  return KEPT_VERDICTS.known(verdict) ?? KEPT_VERDICTS.keep(verdict, keptVerdict(verdict, terms, together));
}

const KEPT_VERDICTS = new Remembered<TakeVerdict, KeptVerdict>();

/** Where a session stands. */
interface Standing {
  readonly plan: SessionPlan;
  readonly steps: readonly PlannedStep[];
  /** Of the step being worked. */
  readonly index: number;
}

/** `at`: when it was judged or broken off. */
export function keepTake(
  session: Standing,
  take: Take,
  player: number,
  at: number,
  outcome: TakeOutcome,
): Effect {
  const { plan } = session;
  const { span } = plan;
  const planned = session.steps[session.index]!;
  const { gate, report, ...came } = outcome;
  const line = take.lines[player]!;
  const { terms } = line;
  forgetMatches(terms);
  const numbers = terms.line.onsets.map(({ number }) => number);
  return {
    type: 'keep',
    take: {
      format: ENTRY_FORMAT,
      passage: span.passage.name,
      selection: plan.selection ?? {},
      first: span.first,
      last: span.last,
      drill: planned.drill,
      step: session.index,
      stepName: take.run.name,
      ...(numbers.length === 0 ? {} : { stepFirst: Math.min(...numbers), stepLast: Math.max(...numbers) }),
      tempoBpm: take.run.tempo.bpm,
      toleranceName: plan.tolerance.name,
      player: plan.players[player]!.id,
      ...(planned.ladder ? { ladder: { ...planned.ladder.plan, lastStep: isLastOfItsRun(session) } } : {}),
      judge: JUDGE_VERSION,
      settings: planned.settings,
      ...(planned.click === undefined ? {} : { click: planned.click }),
      gate: { cleanInARow: gate.cleanInARow, passes: gate.passes },
      ...came,
      ...(report ? { verdict: keptOf(report.verdict, terms, came.together !== undefined) } : {}),
    },
    playing: { terms, events: eventsIn(line), untilMicros: at, stop: earlyStopOf(take) },
    ...(report ? { report } : {}),
  };
}
