// The stages of a session: begin, plan a take, pause, go on, break off, finish. Each returns the next session with
// its effects.

import { currentBpm } from '../coaching/ladder.ts';
import { dealtOut } from '../drills/dealt-out.ts';
import type { Step } from '../drills/step.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import type { TakeEnd } from '../record/entry.ts';
import { earlyStopOf, type TakeResult } from '../take/result.ts';
import {
  type Entrance,
  endMicros,
  planTake,
  stopMicros,
  type Take,
  takeClicks,
  tickMicros,
} from '../take/take.ts';
import type { TakeVerdict } from '../take/verdict.ts';
import { costliestWords } from '../wording/costliest.ts';
import { expectedNames, writtenName } from '../wording/note-names.ts';
import { sentence } from '../wording/sentence.ts';
import type { Effect } from './effect.ts';
import { REST_MICROS } from './rest.ts';
import type { Advance, PauseCause, Session } from './session.ts';
import { atPulse, entranceOnPulse } from './shared-pulse.ts';

/** Time to take a breath before the first click. */
const READY_MICROS = 1_500_000;
/** After a control was pressed: enough to see what it did. */
export const AFTER_CONTROL_MICROS = 700_000;

/** The step being worked, at the tempo in force. */
export function stepInForce(session: Session): Step {
  const { players, span } = session.plan;
  const step = dealtOut(
    session.steps[session.index]!.step,
    players.map(() => ({})),
    span.passage,
  );
  if (session.pulse) return atPulse(step, session.pulse);
  const bpm = session.ladder ? currentBpm(session.ladder) : step.run.tempo.bpm;
  const tempo = { ...step.run.tempo, bpm: wholeBpm(bpm * session.tempoScale) };
  return { ...step, run: { ...step.run, tempo } };
}

/** Tempi are shown and used in tenths of a beat a minute. */
export function wholeBpm(bpm: number): number {
  return Math.round(bpm * 10) / 10;
}

export function begin(session: Session, at: number): Advance {
  return planNext({ ...session, status: 'playing' }, { kind: 'lead-in', fromMicros: at + READY_MICROS }, at);
}

/** Plans a take of the step in force and asks for its clicks. */
export function planNext(session: Session, wanted: Entrance, at: number): Advance {
  const step = stepInForce(session);
  const attempt = session.attempt + 1;
  const { pulse, plan } = session;
  const entry = pulse ? entranceOnPulse(wanted, step, pulse, plan.span.passage) : wanted;
  const take = planTake(step, entry, {
    attempt,
    tolerance: plan.tolerance,
    players: plan.players.map((player) => ({
      lagMicros: plan.lagMicros ?? 0,
      shiftSemitones: 12 * (session.octaves[player] ?? 0),
    })),
    unstopped: plan.runThroughs !== undefined,
  });
  const clicks = takeClicks(take, entry.kind === 'join');
  const effects: Effect[] = [
    {
      type: 'news',
      at,
      news: {
        kind: 'step',
        drill: session.steps[session.index]!.drill,
        name: step.run.name,
        number: session.index + 1,
        of: session.steps.length,
        tempoBpm: step.run.tempo.bpm,
        leadInClicks: clicks.filter((click) => click.atMicros < tickMicros(take, step.run.startTick)).length,
        attempt,
      },
    },
    { type: 'clicks', clicks },
    ...plan.players.map(
      (player, i): Effect => ({
        type: 'prompt',
        player,
        prompt: { run: step.run, line: step.lines[i]!, zeroMicros: take.zeroMicros, attempt },
      }),
    ),
  ];
  return { session: { ...session, attempt, take }, effects };
}

/** The same or another step, by a control: whatever is being played is broken off, and a lead-in follows. */
export function startAfresh(session: Session, end: TakeEnd, at: number): Advance {
  const broken = breakOff(session, end, at);
  const { pausedWhy: _, pausedSince: __, pausedBy: ___, ...playing } = broken.session;
  const entry: Entrance = { kind: 'lead-in', fromMicros: at + AFTER_CONTROL_MICROS };
  const planned = planNext({ ...playing, status: 'playing' }, entry, at);
  return { session: planned.session, effects: [...broken.effects, ...planned.effects] };
}

/** Ends the take being played without a verdict of its own; what was played is kept. */
export function breakOff(session: Session, end: TakeEnd, at: number): Advance {
  const { take } = session;
  if (!take) return { session, effects: [] };
  const effects: Effect[] = [
    { type: 'hush', at },
    { type: 'silence', from: at },
  ];
  let order = session.kept;
  take.lines.forEach((line, player) => {
    if (line.events.length === 0 && end !== 'skipped') return;
    order += 1;
    const outcome = { order, end, clean: false, sentence: BROKEN_OFF[end] };
    effects.push(keepTake(session, take, player, at, outcome));
  });
  const { take: _, ...rest } = session;
  return {
    session: {
      ...rest,
      kept: order,
      playedMicros: session.playedMicros + Math.max(0, at - take.beginMicros),
    },
    effects,
  };
}

const BROKEN_OFF: Record<TakeEnd, string> = {
  stopped: 'Played to the stop.',
  slipped: 'Stopped after a slip.',
  paused: 'Broken off by a pause.',
  skipped: 'Skipped.',
  retaken: 'Broken off to start again.',
  quit: 'Broken off at the end of the session.',
  lost: 'Broken off: the instrument was lost.',
};

/** What one player played, kept with all that its result is made of. */
export function keepTake(
  session: Session,
  take: Take,
  player: number,
  at: number,
  outcome: {
    readonly order: number;
    readonly end: TakeEnd;
    readonly clean: boolean;
    readonly sentence: string;
    readonly verdict?: TakeVerdict;
  },
): Effect {
  const { span } = session.plan;
  const { terms, events } = take.lines[player]!;
  return {
    type: 'keep',
    take: {
      format: 1,
      passage: span.passage.name,
      first: span.first,
      last: span.last,
      drill: session.steps[session.index]!.drill,
      step: session.index,
      stepName: take.run.name,
      tempoBpm: take.run.tempo.bpm,
      toleranceName: session.plan.tolerance.name,
      player: session.plan.players[player]!,
      zeroMicros: take.zeroMicros,
      ...(terms.lagMicros === 0 ? {} : { lagMicros: terms.lagMicros }),
      events: events.map((event) => shifted(event, terms.shiftSemitones)),
      ...outcome,
    },
    playing: { terms, events, untilMicros: at, stop: earlyStopOf(take) },
  };
}

function shifted(event: PlayerEvent, semitones: number): PlayerEvent {
  return event.type === 'note-on' || event.type === 'note-off'
    ? { ...event, pitch: event.pitch + semitones }
    : event;
}

/** The verdict on one player's take in words. */
export function resultWords(session: Session, take: Take, player: number, result: TakeResult): string {
  const names = {
    expected: expectedNames(take.lines[player]!.terms.line),
    ofPitch: (pitch: number) => writtenName(session.plan.span.passage, pitch),
  };
  return sentence(result.verdict, names, result.stoppedFor);
}

/** A reason is a clause; the player's own pause needs none. */
export interface PauseReason {
  readonly by: PauseCause;
  readonly why: string;
}

export function pause(session: Session, { by, why }: PauseReason, at: number): Advance {
  return {
    session: { ...session, status: 'paused', pausedBy: by, pausedWhy: why, pausedSince: at },
    effects: [{ type: 'news', at, news: { kind: 'paused', why } }],
  };
}

/** What is being played is broken off, and the click stops until something goes on with it. */
export function breakOffAndPause(session: Session, end: TakeEnd, reason: PauseReason, at: number): Advance {
  const broken = breakOff(session, end, at);
  const paused = pause(broken.session, reason, at);
  return { session: paused.session, effects: [...broken.effects, ...paused.effects] };
}

export function resume(session: Session, at: number): Advance {
  const rested = at - (session.pausedSince ?? at) >= REST_MICROS;
  const { pausedWhy: _, pausedSince: __, pausedBy: ___, notice: ____, ...rest } = session;
  const going: Session = {
    ...rest,
    status: 'playing',
    silentInARow: 0,
    playedMicros: rested ? 0 : session.playedMicros,
  };
  const planned = planNext(going, { kind: 'lead-in', fromMicros: at + READY_MICROS }, at);
  return {
    session: planned.session,
    effects: [{ type: 'news', at, news: { kind: 'resumed' } }, ...planned.effects],
  };
}

export function finish(session: Session, at: number): Advance {
  const { take, ...rest } = session;
  const costliest = costliestWords(session.costs);
  const count = (state: string) => session.tallies.filter((tally) => tally.state === state).length;
  return {
    session: { ...rest, status: 'finished' },
    effects: [
      { type: 'hush', at },
      { type: 'silence', from: (take ? stopMicros(take) && endMicros(take) : undefined) ?? at },
      {
        type: 'news',
        at,
        news: {
          kind: 'finished',
          stepsPassed: count('passed'),
          stepsSkipped: count('skipped'),
          steps: session.steps.length,
          takes: session.takes,
          cleanTakes: session.cleanTakes,
          ...(costliest === undefined ? {} : { costliest }),
          ...(session.plan.runThroughs === undefined ? {} : { survey: true }),
        },
      },
      { type: 'end', at },
    ],
  };
}
