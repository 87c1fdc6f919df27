// A session that is told its events one by one, woken in between as often as it asks.

import { advance, nextWakeUp } from '../../src/session/advance.ts';
import type { Effect } from '../../src/session/effect.ts';
import type { Control, SeatAsk, SessionEvent } from '../../src/session/event.ts';
import type { News } from '../../src/session/news.ts';
import type { SessionPlan } from '../../src/session/plan.ts';
import { newSession, type Session } from '../../src/session/session.ts';

export const SECOND = 1_000_000;

export interface LiveSession {
  /** Tells it these events; the session as it then is. */
  told(...events: readonly SessionEvent[]): Session;
  /** All so far. */
  effects(): readonly Effect[];
  ofType<T extends Effect['type']>(type: T): Extract<Effect, { type: T }>[];
  news<K extends News['kind']>(kind: K): Extract<News, { kind: K }>[];
}

export function liveSession(plan: SessionPlan): LiveSession {
  let session: Session = newSession(plan);
  const effects: Effect[] = [];
  const step = (event: SessionEvent) => {
    const done = advance(session, event);
    session = done.session;
    effects.push(...done.effects);
  };
  const ofType = <T extends Effect['type']>(type: T) =>
    effects.filter((effect): effect is Extract<Effect, { type: T }> => effect.type === type);
  return {
    told(...events) {
      for (const event of events) {
        for (let at = nextWakeUp(session); at !== undefined && at < event.at; at = nextWakeUp(session))
          step({ type: 'wake', at });
        step(event);
      }
      return session;
    },
    effects: () => effects,
    ofType,
    news: <K extends News['kind']>(kind: K) =>
      ofType('news').flatMap(({ news }) => (news.kind === kind ? [news as Extract<News, { kind: K }>] : [])),
  };
}

// Events, their times in seconds

export const begin = (seconds = 0): SessionEvent => ({ type: 'begin', at: micros(seconds) });

export const wait = (seconds: number): SessionEvent => ({ type: 'wake', at: micros(seconds) });

export const press = (control: Control, seconds: number): SessionEvent => ({
  type: 'control',
  at: micros(seconds),
  control,
});

export const seat = (ask: SeatAsk, player: string, seconds: number): SessionEvent => ({
  type: 'seat',
  at: micros(seconds),
  player,
  ask,
});

export const strike = (pitch: number, seconds: number, player = 'player'): SessionEvent =>
  sent(player, { type: 'note-on', at: micros(seconds), pitch, velocity: 80, channel: 1 });

export const release = (pitch: number, seconds: number, player = 'player'): SessionEvent =>
  sent(player, { type: 'note-off', at: micros(seconds), pitch, channel: 1 });

export const lost = (seconds: number, player = 'player'): SessionEvent =>
  sent(player, { type: 'lost', at: micros(seconds), reason: `${player} is unplugged` });

export const found = (seconds: number, player = 'player'): SessionEvent =>
  sent(player, { type: 'found', at: micros(seconds) });

export const ended = (seconds: number, player = 'player'): SessionEvent =>
  sent(player, { type: 'ended', at: micros(seconds) });

/** Another machine at 60 a minute, with a quarter on every second. */
export const pulseRuns = (seconds: number): SessionEvent => ({
  type: 'pulse',
  at: micros(seconds),
  pulse: { quarterBpm: 60, quarterAtMicros: micros(seconds), quarter: Math.round(seconds) },
});

export const pulseStops = (seconds: number): SessionEvent => ({
  type: 'pulse',
  at: micros(seconds),
  pulse: undefined,
});

function sent(
  player: string,
  event: Extract<SessionEvent, { readonly type: 'played' }>['event'],
): SessionEvent {
  return { type: 'played', at: event.at, player, event };
}

function micros(seconds: number): number {
  return Math.round(seconds * SECOND);
}
