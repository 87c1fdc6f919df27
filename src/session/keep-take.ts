// What is kept of a take: what came of it, and all that its result is made of.

import type { PlayerEvent } from '../music/player-event.ts';
import type { TakeEnd } from '../record/entry.ts';
import { earlyStopOf } from '../take/result.ts';
import type { Take } from '../take/take.ts';
import type { TakeVerdict } from '../take/verdict.ts';
import type { Effect } from './effect.ts';
import type { Session } from './session.ts';

/** `player` is the index among the plan's players, `at` when the take was judged or broken off. */
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
  const { span, players, tolerance } = session.plan;
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
      toleranceName: tolerance.name,
      player: players[player]!.id,
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
