// A session: one span worked through its steps by one or more players. Plain data at every moment: it can be written down,
// read back and gone on with. `advance` (advance.ts) takes it from event to event.

import { closedGate, type Gate } from '../coaching/gate.ts';
import type { Ladder } from '../coaching/ladder.ts';
import type { LateFingers } from '../fingering/late-finger.ts';
import type { FollowedPulse } from '../ports/pulse.ts';
import { type TakeResult, takeResults } from '../take/result.ts';
import type { Take } from '../take/take.ts';
import type { IntervalCost } from './costly-interval.ts';
import type { Effect } from './effect.ts';
import type { Notice } from './notice.ts';
import type { PauseReason } from './pause-reason.ts';
import type { PlannedStep, SessionPlan } from './plan.ts';
import type { RepeatedFault } from './repeated-fault.ts';
import type { SectionReport } from './section-report.ts';
import type { ShiftSeen } from './shift-offer.ts';
import type { StepStanding } from './step-standing.ts';
import { type TakeReport, takeReport } from './take-report.ts';
import type { SeenPlaying } from './usual-playing.ts';

/**
 * Where in a take the session is. `listening`: the step is sounded first; `waiting`: planned, its first click is to come;
 * `entering`: a free step that nobody has begun; `slipped`: somebody has, and the run goes on to its stop; `held` and
 * `resting`: the run has stopped, on a landing or without one, and its hold or rest is not over. In the latter two the
 * take is the one that has stopped until its verdict is given, and then already the next.
 */
export type TakePhase =
  | 'listening'
  | 'waiting'
  | 'lead-in'
  | 'entering'
  | 'playing'
  | 'slipped'
  | 'held'
  | 'resting';

export interface TakeStage {
  readonly kind: TakePhase;
  readonly take: Take;
  /** The step is being sounded until then. */
  readonly soundedUntilMicros?: number;
}

export type Stage =
  /** Nothing is planned: before the beginning, or while another machine's pulse is awaited. */
  | { readonly kind: 'ready' }
  | TakeStage
  | { readonly kind: 'paused'; readonly reason: PauseReason; readonly sinceMicros: number }
  | { readonly kind: 'finished' };

export type Presence =
  | { readonly kind: 'present' }
  /** The instrument is not there, until it is found again. */
  | { readonly kind: 'lost'; readonly why: string }
  /** Nothing more will come. */
  | { readonly kind: 'ended' };

/** How it stands with one player; what they play is in the take's line. */
export interface PlayerState {
  readonly presence: Presence;
  /** Semitones to add to what the player sends: whole octaves that were taken as right. */
  readonly shiftSemitones: number;
  /** Has been sounding whole octaves away, and how far. */
  readonly shiftSeen?: ShiftSeen;
  /** What takes before have shown of this player. */
  readonly seen?: SeenPlaying;
  /** Among several: as it was asked for. */
  readonly standing: 'in' | 'excused' | 'muted';
  /** The instrument was not there for some of the take under way. */
  readonly missedTake?: true;
  /** Takes in which nothing of theirs was heard. */
  readonly silentInARow: number;
}

/** The verdict on the screen until the next one; the result is that of its take. */
export interface ShownVerdict {
  /** Index of its step, and the gate and ladder after this take. */
  readonly index: number;
  readonly gate: Gate;
  readonly ladder?: Ladder;
  readonly take: Take;
  /** Whose it is: the index among the plan's players. */
  readonly player: number;
  /** Of a blip that is the worst of its troubles. */
  readonly lateFingers?: LateFingers;
  readonly onward: boolean;
  /** Of several players: the verdict on all of them. */
  readonly section?: SectionReport;
  /** The end of the hold. */
  readonly untilMicros: number;
}

/** What became of a step. */
export interface StepTally {
  readonly takes: number;
  readonly cleanTakes: number;
  readonly state: 'open' | 'passed' | 'skipped';
}

export interface Session {
  readonly plan: SessionPlan;
  /** Time of the last event. */
  readonly now: number;
  readonly stage: Stage;
  /** In the order of the plan's players. */
  readonly players: readonly PlayerState[];
  /** With their ladders where they stand now. */
  readonly steps: readonly PlannedStep[];
  readonly tallies: readonly StepTally[];
  /** Index of the step being worked. */
  readonly index: number;
  /** Takes of it planned since the session came to it. */
  readonly attempt: number;
  readonly gate: Gate;
  /** Times the tempo of each step; 1 until the player asks for slower or faster. */
  readonly tempoScale: number;
  /** Another machine's pulse, where one is followed and runs. */
  readonly pulse?: FollowedPulse;
  readonly shown?: ShownVerdict;
  /** Judged takes so far, all steps; several players play one together. */
  readonly takes: number;
  /** Takes kept so far, each player's own, those that were broken off included. */
  readonly kept: number;
  /** The same, those that several play together as one. */
  readonly keptTogether: number;
  readonly cleanTakes: number;
  /** Among several: the only one who counts, and the one who is pointed at, as indexes. */
  readonly focus?: number;
  readonly pointed?: number;
  /** What each interval has cost. */
  readonly costs: readonly IntervalCost[];
  readonly silentInARow: number;
  /** Since the last rest. */
  readonly playedMicros: number;
  /** Spent in takes that were concluded; unlike `playedMicros` a rest does not set it back. */
  readonly workedMicros: number;
  /** The fault of the last takes of this step. */
  readonly repeated?: RepeatedFault;
  /** Until the next take's verdict. */
  readonly notice?: Notice;
}

export interface Advance {
  readonly session: Session;
  readonly effects: readonly Effect[];
}

export function newSession(plan: SessionPlan): Session {
  if (plan.steps.length === 0) throw new Error('A session needs at least one step');
  return {
    plan,
    now: 0,
    stage: { kind: 'ready' },
    players: plan.players.map(() => ({
      presence: { kind: 'present' },
      shiftSemitones: 0,
      standing: 'in',
      silentInARow: 0,
    })),
    steps: plan.steps,
    tallies: plan.steps.map((_, i) => ({ takes: 0, cleanTakes: 0, state: stateAtStart(plan, i) })),
    index: plan.startsAt?.index ?? 0,
    gate: closedGate(plan.startsAt?.onceClean ? 1 : plan.passes),
    ...(plan.notice === undefined ? {} : { notice: { kind: 'passed-on', text: plan.notice } }),
    tempoScale: 1,
    attempt: 0,
    takes: 0,
    kept: 0,
    keptTogether: 0,
    cleanTakes: 0,
    costs: [],
    silentInARow: 0,
    playedMicros: plan.playedBeforeMicros ?? 0,
    workedMicros: 0,
  };
}

function stateAtStart({ startsAt }: SessionPlan, step: number): StepTally['state'] {
  if (startsAt?.skipped?.includes(step)) return 'skipped';
  return step < (startsAt?.index ?? 0) ? 'passed' : 'open';
}

export function isTaking(stage: Stage): stage is TakeStage {
  return 'take' in stage;
}

/** The minutes that the plan gave it are worked. */
export function isTimeUp({ plan: { minutes }, workedMicros }: Session): boolean {
  return minutes !== undefined && workedMicros >= minutes * 60_000_000;
}

/** The player left: steps are open, and there was time for them. */
export function hasLeft(session: Session): boolean {
  return !isTimeUp(session) && session.tallies.some(({ state }) => state === 'open');
}

/** The run-through of a survey that is to come or under way; undefined where it is no survey. */
export function runThroughOf({ plan, tallies, index }: Session): StepStanding['runThrough'] {
  return plan.runThroughs === undefined
    ? undefined
    : { number: tallies[index]!.takes + 1, of: plan.runThroughs };
}

/** The take that is planned or under way. */
export function takeOf({ stage }: Session): Take | undefined {
  return isTaking(stage) ? stage.take : undefined;
}

/** The result that is on the screen. */
export function shownResult({ take, player }: ShownVerdict): TakeResult {
  return takeResults(take)[player]!;
}

/** What there is to say about it. */
export function shownReport(shown: ShownVerdict): TakeReport {
  return takeReport(shownResult(shown), shown.take.lines[shown.player]!.terms.line, shown.lateFingers);
}

/** Nobody's instrument will send anything any more. */
export function nothingMoreComes({ players }: Session): boolean {
  return players.every(({ presence }) => presence.kind === 'ended');
}

/** Why a paused session waits: an instrument that is still missed comes before whatever began the pause. */
export function waitsFor({ players }: Session, began: PauseReason): PauseReason {
  const lost = players.find(({ presence }) => presence.kind === 'lost')?.presence;
  return lost?.kind === 'lost' ? { by: 'lost', why: lost.why } : began;
}
