// A session: one span worked through its steps by one or more players. `advance` takes every event with its time and
// returns the next session and what the world is to do; it never asks the time, never waits and never throws for what
// a player does. Looking oftener changes nothing: whatever becomes true without input is computed at its own instant.

import { closedGate, type Gate } from '../coaching/gate.ts';
import type { Ladder } from '../coaching/ladder.ts';
import type { FollowedPulse } from '../ports/pulse.ts';
import { isPedalDown, SUSTAIN_CONTROLLER } from '../take/pedal.ts';
import type { TakeResult } from '../take/result.ts';
import {
  endMicros,
  stopMicros,
  type Take,
  takeDue,
  takeEvent,
  takeTime,
  tickMicros,
  verdictMicros,
} from '../take/take.ts';
import { advise, conclude } from './conclude.ts';
import { runControl } from './controls.ts';
import type { IntervalCost } from './costly-interval.ts';
import type { Effect } from './effect.ts';
import type { Control, PlayerId, SessionEvent } from './event.ts';
import type { OctaveSeen } from './octave-offer.ts';
import type { PlannedStep, SessionPlan } from './plan.ts';
import { PULSE_STOPPED } from './shared-pulse.ts';
import { begin, breakOffAndPause, resume } from './stages.ts';

/**
 * What began a pause says what may end it besides the player: any note where nothing had been heard, the instrument
 * where it had been lost, the pulse where it had stopped. A pause that the player asked for stays.
 */
export type PauseCause = 'player' | 'silence' | 'lost' | 'pulse';

/** The verdict on the screen until the next one. */
export interface ShownVerdict {
  readonly planned: PlannedStep;
  /** Its index, and the gate and ladder after this take. */
  readonly index: number;
  readonly gate: Gate;
  readonly ladder?: Ladder;
  readonly take: Take;
  /** Whose it is: the index among the plan's players. */
  readonly player: number;
  readonly result: TakeResult;
  readonly sentence: string;
  readonly onward: boolean;
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
  readonly status: 'ready' | 'playing' | 'paused' | 'finished';
  /** Time of the last event. */
  readonly now: number;
  readonly steps: readonly PlannedStep[];
  readonly tallies: readonly StepTally[];
  /** Index of the step being worked. */
  readonly index: number;
  readonly gate: Gate;
  readonly ladder?: Ladder;
  /** Times the tempo of each step; 1 until the player asks for slower or faster. */
  readonly tempoScale: number;
  /** Another machine's pulse, where one is followed and runs. */
  readonly pulse?: FollowedPulse;
  readonly attempt: number;
  /** The step is being sounded until then. */
  readonly heardUntilMicros?: number;
  readonly take?: Take;
  readonly shown?: ShownVerdict;
  readonly pausedWhy?: string;
  readonly pausedSince?: number;
  readonly pausedBy?: PauseCause;
  /** Why the instrument is not there, until it is found again. */
  readonly lostWhy?: string;
  /** Judged takes so far, all steps and players. */
  readonly takes: number;
  /** Takes kept so far, those that were broken off included. */
  readonly kept: number;
  readonly cleanTakes: number;
  /** What each interval has cost. */
  readonly costs: readonly IntervalCost[];
  readonly silentInARow: number;
  readonly playedMicros: number;
  /** Octaves to add to what a player sends. */
  readonly octaves: Readonly<Record<PlayerId, number>>;
  /** Who has been sounding whole octaves away, and how far. */
  readonly octaveSeen: Readonly<Record<PlayerId, OctaveSeen>>;
  /** Players from whom nothing more will come. */
  readonly ended: readonly PlayerId[];
  /** A rest prompt or advice, until the next take's verdict. */
  readonly notice?: string;
}

/** How long a click is seen. */
export const FLASH_MICROS = 100_000;

export interface Advance {
  readonly session: Session;
  readonly effects: readonly Effect[];
}

export function newSession(plan: SessionPlan): Session {
  if (plan.steps.length === 0) throw new Error('A session needs at least one step');
  return {
    plan,
    status: 'ready',
    now: 0,
    steps: plan.steps,
    tallies: plan.steps.map(() => ({ takes: 0, cleanTakes: 0, state: 'open' })),
    index: 0,
    gate: closedGate(plan.passes),
    ...(plan.steps[0]!.ladder ? { ladder: plan.steps[0]!.ladder } : {}),
    ...(plan.notice === undefined ? {} : { notice: plan.notice }),
    tempoScale: 1,
    attempt: 0,
    takes: 0,
    kept: 0,
    cleanTakes: 0,
    costs: [],
    silentInARow: 0,
    playedMicros: 0,
    octaves: {},
    octaveSeen: {},
    ended: [],
  };
}

export function advance(session: Session, event: SessionEvent): Advance {
  // At the same instant input comes before what time alone makes true; a wake-up is that time.
  const caught = catchUp(session, event.at, event.type === 'wake');
  const done = handle({ ...caught.session, now: Math.max(caught.session.now, event.at) }, event);
  return { session: done.session, effects: [...caught.effects, ...done.effects] };
}

/** When the session should next be woken: something becomes true, or the screen's click moves on. */
export function nextWakeUp(session: Session): number | undefined {
  const { take } = session;
  if (session.status !== 'playing' || !take) return undefined;
  const stops = [
    takeDue(take),
    stopMicros(take),
    endMicros(take),
    session.shown?.untilMicros,
    session.heardUntilMicros,
    take.beginMicros,
  ];
  const next = stops.filter((time): time is number => time !== undefined && time > session.now);
  const click = nextClickMicros(session);
  if (click !== undefined) next.push(click);
  return next.length > 0 ? Math.min(...next) : undefined;
}

function nextClickMicros({ take, now }: Session): number | undefined {
  if (!take) return undefined;
  for (const click of take.run.clicks) {
    const at = tickMicros(take, click.tick);
    if (at > now) return at;
    if (at + FLASH_MICROS > now) return at + FLASH_MICROS;
  }
  return undefined;
}

/** Everything that becomes true up to a time, each at its own instant, in order. */
function catchUp(session: Session, at: number, inclusive: boolean): Advance {
  let current = session;
  const effects: Effect[] = [];
  while (current.status === 'playing' && current.take) {
    const due = takeDue(current.take);
    if (due === undefined || due > at || (due === at && !inclusive)) break;
    const step = pass(current, due);
    if (step.session.take && takeDue(step.session.take) === due)
      throw new Error(`Time stands still at ${due}`);
    current = step.session;
    effects.push(...step.effects);
  }
  return { session: current, effects };
}

function pass(session: Session, at: number): Advance {
  const { session: cut, effects } = afterPlaying({ ...session, now: at }, takeTime(session.take!, at));
  if ((verdictMicros(cut.take!) ?? Number.POSITIVE_INFINITY) > at) return { session: cut, effects };
  const concluded = conclude(cut, at);
  return { session: concluded.session, effects: [...effects, ...concluded.effects] };
}

/** The take after something happened in it: a slip may have moved its stop. */
function afterPlaying(session: Session, take: Take): Advance {
  const effects: Effect[] = [];
  if (take.cutTick !== undefined && session.take!.cutTick === undefined) {
    effects.push({ type: 'hush', at: stopMicros(take)! }, { type: 'silence', from: endMicros(take)! });
  }
  return { session: { ...session, take }, effects };
}

function handle(session: Session, event: SessionEvent): Advance {
  switch (event.type) {
    case 'wake':
      return { session, effects: [] };
    case 'trouble':
      return advise(session, event.text, event.at);
    case 'pulse':
      return pulsed(session, event.pulse, event.at);
    case 'begin':
      return session.status === 'ready' && !session.plan.followsPulse
        ? begin(session, event.at)
        : { session, effects: [] };
    case 'control':
      return session.status === 'finished'
        ? { session, effects: [] }
        : runControl(session, event.control, event.at);
    case 'played':
      return played(session, event.player, event);
  }
}

/** Another machine's pulse: its start begins the session or goes on with it, its stop is a pause. */
function pulsed(session: Session, pulse: FollowedPulse | undefined, at: number): Advance {
  const { pulse: _, ...rest } = session;
  if (pulse === undefined) {
    if (session.status !== 'playing') return { session: rest, effects: [] };
    return breakOffAndPause(rest, 'paused', { by: 'pulse', why: PULSE_STOPPED }, at);
  }
  const followed: Session = { ...rest, pulse };
  if (session.status === 'ready') return begin(followed, at);
  if (session.status === 'paused' && session.pausedBy === 'pulse') return resume(followed, at);
  return { session: followed, effects: [] };
}

function played(
  session: Session,
  player: PlayerId,
  { event, at }: Extract<SessionEvent, { type: 'played' }>,
): Advance {
  if (session.status === 'finished' || session.status === 'ready') return { session, effects: [] };
  switch (event.type) {
    case 'lost':
      return lost(session, event.reason, at);
    case 'found':
      return found(session, at);
    case 'ended':
      return { session: { ...session, ended: [...new Set([...session.ended, player])] }, effects: [] };
    default: {
      const control = controlOf(session, event);
      if (control === 'swallow') return { session, effects: [] };
      if (control) return runControl(session, control, at);
      if (session.status === 'paused') {
        return session.pausedBy === 'silence' && event.type === 'note-on'
          ? resume(session, at)
          : { session, effects: [] };
      }
      if (!session.take) return { session, effects: [] };
      return afterPlaying(session, takeEvent(session.take, session.plan.players.indexOf(player), event));
    }
  }
}

function lost(session: Session, why: string, at: number): Advance {
  const without: Session = { ...session, lostWhy: why };
  if (session.status !== 'paused') return breakOffAndPause(without, 'lost', { by: 'lost', why }, at);
  return { session: without, effects: [{ type: 'news', at, news: { kind: 'paused', why } }] };
}

function found(session: Session, at: number): Advance {
  const { lostWhy, ...again } = session;
  if (session.status !== 'paused' || lostWhy === undefined) return { session: again, effects: [] };
  if (session.pausedBy === 'lost') return resume(again, at);
  const news = { kind: 'paused', why: session.pausedWhy ?? '' } as const;
  return { session: again, effects: [{ type: 'news', at, news }] };
}

/** A control on the instrument, if the event is one: its control, or its release, which is swallowed. */
function controlOf(
  { plan }: Session,
  event: {
    readonly type: string;
    readonly pitch?: number;
    readonly number?: number;
    readonly value?: number;
  },
): Control | 'swallow' | undefined {
  if (event.type === 'controller' && event.number === SUSTAIN_CONTROLLER && plan.controls.pedal) {
    return isPedalDown(event.value ?? 0) ? plan.controls.pedal : 'swallow';
  }
  if (event.pitch === undefined) return undefined;
  const control = plan.controls.notes[event.pitch];
  return control && event.type === 'note-off' ? 'swallow' : control;
}
