// `advance` takes every event with its time and returns the next session and what the world is to do; it never asks the
// time, never waits and never throws for what a player does. Looking oftener changes nothing: whatever becomes true
// without input is computed at its own instant.

import type { PlayerEvent } from '../music/player-event.ts';
import type { FollowedPulse } from '../ports/pulse.ts';
import { isPedalDown, SUSTAIN_CONTROLLER } from '../take/pedal.ts';
import { type Take, takeEvent, takeTime } from '../take/take.ts';
import { endMicros, stopMicros, takeDue, tickMicros, verdictMicros } from '../take/take-times.ts';
import { isSeveral, withPlayer, withStopRules } from './attendance.ts';
import { conclude } from './conclude.ts';
import { runControl } from './controls.ts';
import type { Effect } from './effect.ts';
import type { Control, SessionEvent } from './event.ts';
import { finish } from './finish.ts';
import { giveNotice } from './give-notice.ts';
import { planNext, READY_MICROS } from './next-take.ts';
import { breakOffAndPause, resume } from './pause.ts';
import { atItsPhase } from './phase.ts';
import type { InstrumentControls } from './plan.ts';
import { runSeatControl } from './seat-control.ts';
import { type Advance, isTaking, nothingMoreComes, type Presence, type Session, takeOf } from './session.ts';

/** How long a click is seen. */
export const FLASH_MICROS = 100_000;

export function advance(session: Session, event: SessionEvent): Advance {
  // At the same instant input comes before what time alone makes true; a wake-up is that time.
  const caught = catchUp(session, event.at, event.type === 'wake');
  const done = handle({ ...caught.session, now: Math.max(caught.session.now, event.at) }, event);
  return { session: atItsPhase(done.session), effects: [...caught.effects, ...done.effects] };
}

/** When the session should next be woken: something becomes true, or the screen's click moves on. */
export function nextWakeUp(session: Session): number | undefined {
  const { stage, shown, now } = session;
  if (!isTaking(stage)) return undefined;
  const { take, soundedUntilMicros } = stage;
  const stops = [
    takeDue(take),
    stopMicros(take),
    endMicros(take),
    shown?.untilMicros,
    soundedUntilMicros,
    take.beginMicros,
    tickMicros(take, take.run.startTick),
    nextClickMicros(take, now),
  ];
  const next = stops.filter((time): time is number => time !== undefined && time > now);
  return next.length > 0 ? Math.min(...next) : undefined;
}

function nextClickMicros(take: Take, now: number): number | undefined {
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
  for (let take = takeOf(current); take; take = takeOf(current)) {
    const due = takeDue(take);
    if (due === undefined || due > at || (due === at && !inclusive)) break;
    const step = pass(current, take, due);
    const next = takeOf(step.session);
    if (next && takeDue(next) === due) throw new Error(`Time stands still at ${due}`);
    current = step.session;
    effects.push(...step.effects);
  }
  return { session: current, effects };
}

function pass(session: Session, take: Take, at: number): Advance {
  const after = takeTime(take, at);
  const { session: passed, effects } = afterPlaying({ ...session, now: at }, take, after);
  if ((verdictMicros(after) ?? Number.POSITIVE_INFINITY) > at) return { session: passed, effects };
  const concluded = conclude(passed, after, at);
  return { session: concluded.session, effects: [...effects, ...concluded.effects] };
}

/** The session after something happened in its take, which may have moved the take's stop. */
function afterPlaying(session: Session, before: Take, take: Take): Advance {
  const effects: Effect[] = [];
  if (take.cutTick !== before.cutTick) {
    effects.push({ type: 'hush', at: stopMicros(take)! }, { type: 'silence', from: endMicros(take)! });
  }
  const { stage } = session;
  return { session: isTaking(stage) ? { ...session, stage: { ...stage, take } } : session, effects };
}

function handle(session: Session, event: SessionEvent): Advance {
  switch (event.type) {
    case 'wake':
      return { session, effects: [] };
    case 'trouble':
      return giveNotice(session, { kind: 'passed-on', text: event.text }, event.at);
    case 'pulse':
      return pulsed(session, event.pulse, event.at);
    case 'begin':
      return session.stage.kind === 'ready' && !session.plan.followsPulse
        ? begin(session, event.at)
        : { session, effects: [] };
    case 'control':
      return session.stage.kind === 'finished'
        ? { session, effects: [] }
        : runControl(session, event.control, event.at);
    case 'seat': {
      const player = session.plan.players.findIndex(({ id }) => id === event.player);
      return player < 0 || session.stage.kind === 'finished'
        ? { session, effects: [] }
        : runSeatControl(session, player, event.ask, event.at);
    }
    case 'played': {
      const player = session.plan.players.findIndex(({ id }) => id === event.player);
      return player < 0 ? { session, effects: [] } : played(session, player, event.event);
    }
  }
}

function begin(session: Session, at: number): Advance {
  return planNext(session, { kind: 'lead-in', fromMicros: at + READY_MICROS }, at);
}

/** Another machine's pulse: its start begins the session or goes on with it, its stop is a pause. */
function pulsed(session: Session, pulse: FollowedPulse | undefined, at: number): Advance {
  const { pulse: _, ...rest } = session;
  const { stage } = session;
  if (pulse === undefined) {
    if (!isTaking(stage)) return { session: rest, effects: [] };
    return breakOffAndPause(rest, 'paused', { by: 'pulse' }, at);
  }
  const followed: Session = { ...rest, pulse };
  if (stage.kind === 'ready') return begin(followed, at);
  if (stage.kind === 'paused' && stage.reason.by === 'pulse') return resume(followed, at);
  return { session: followed, effects: [] };
}

function played(session: Session, player: number, event: PlayerEvent): Advance {
  const { stage } = session;
  if (stage.kind === 'finished' || stage.kind === 'ready') return { session, effects: [] };
  switch (event.type) {
    case 'lost':
      return lost(session, player, event.reason, event.at);
    case 'found':
      return found(session, player, event.at);
    case 'ended':
      return ended(session, player, event.at);
    default: {
      const control = controlOf(session.plan.players[player]!.controls, event);
      if (control === 'swallow') return { session, effects: [] };
      if (control) return runControl(session, control, event.at);
      if (session.players[player]!.standing === 'muted') return { session, effects: [] };
      if (stage.kind === 'paused') {
        return stage.reason.by === 'silence' && event.type === 'note-on'
          ? resume(session, event.at)
          : { session, effects: [] };
      }
      return afterPlaying(session, stage.take, takeEvent(stage.take, player, event));
    }
  }
}

/** Of several the others go on; a pause comes when nobody is left. */
function lost(session: Session, player: number, why: string, at: number): Advance {
  const without = withPresence(session, player, { kind: 'lost', why });
  if (without.players.some(({ presence }) => presence.kind === 'present')) {
    const missing = withStopRules(withPlayer(without, player, { missedTake: true }));
    const { name } = session.plan.players[player]!;
    return { session: missing, effects: [{ type: 'news', at, news: { kind: 'away', player: name, why } }] };
  }
  const reason = { by: 'lost', why } as const;
  if (session.stage.kind !== 'paused') return breakOffAndPause(without, 'lost', reason, at);
  return { session: without, effects: [{ type: 'news', at, news: { kind: 'paused', reason } }] };
}

/** Where the loss was why it had paused, the first who is there again goes on; the others come in when they are found. */
function found(session: Session, player: number, at: number): Advance {
  if (session.players[player]!.presence.kind !== 'lost') return { session, effects: [] };
  const again = withPresence(session, player, { kind: 'present' });
  const { stage } = session;
  const back: Effect[] = isSeveral(session)
    ? [{ type: 'news', at, news: { kind: 'back', player: session.plan.players[player]!.name } }]
    : [];
  if (stage.kind === 'paused' && stage.reason.by === 'lost') {
    const resumed = resume(again, at);
    return { session: resumed.session, effects: [...back, ...resumed.effects] };
  }
  if (stage.kind !== 'paused' || isSeveral(session)) return { session: again, effects: back };
  return { session: again, effects: [{ type: 'news', at, news: { kind: 'paused', reason: stage.reason } }] };
}

/** A take that is under way is played out first. */
function ended(session: Session, player: number, at: number): Advance {
  const without = withPresence(session, player, { kind: 'ended' });
  const over = session.stage.kind === 'paused' && nothingMoreComes(without);
  return over ? finish(without, at) : { session: without, effects: [] };
}

function withPresence(session: Session, player: number, presence: Presence): Session {
  return withPlayer(session, player, { presence });
}

/** A control on the instrument, if the event is one: its control, or its release, which is swallowed. */
function controlOf(
  controls: InstrumentControls,
  event: {
    readonly type: string;
    readonly pitch?: number;
    readonly number?: number;
    readonly value?: number;
  },
): Control | 'swallow' | undefined {
  if (event.type === 'controller' && event.number === SUSTAIN_CONTROLLER && controls.pedal) {
    return isPedalDown(event.value ?? 0) ? controls.pedal : 'swallow';
  }
  if (event.pitch === undefined) return undefined;
  const control = controls.notes[event.pitch];
  return control && event.type === 'note-off' ? 'swallow' : control;
}
