// A take from its terms and events alone: the same code that hears it live, run over what was kept. So a kept take can be
// judged again by a later judge, and a live verdict is nothing but this fold broken off at its last event.

import type { PlayerEvent } from '../music/player-event.ts';
import { type EarlyStop, earlyStopOf, lineResult, type TakeResult } from './result.ts';
import { eventsIn, startLine, type Take, takeEvent, takeTime } from './take.ts';
import { takeDue, verdictMicros } from './take-times.ts';
import type { TakeTerms } from './terms.ts';

/** All that the result of one player's take is made of; plain data. */
export interface KeptPlaying {
  readonly terms: TakeTerms;
  /** As they came, by time. */
  readonly events: readonly PlayerEvent[];
  /** When it was judged, or broken off. */
  readonly untilMicros: number;
  /** Where it was stopped early. Other players decide that too, so it is kept and not worked out again. */
  readonly stop: EarlyStop;
}

/** The result as it was when it was played, by the judge of today. */
export function foldTake({ terms, events, untilMicros, stop }: KeptPlaying): TakeResult {
  const heard = events.reduce((take, event) => takeEvent(take, 0, event), alone(terms));
  return lineResult(takeTime(heard, untilMicros).lines[0]!, stop);
}

/**
 * The same of a player alone, worked out whole: how far the take goes and where a slip stops it follows from what is
 * played. Events after its end are left out. Undefined where a free take is never begun.
 */
export function playAlone(
  terms: TakeTerms,
  events: readonly PlayerEvent[],
  { unstopped = false }: { readonly unstopped?: boolean } = {},
): KeptPlaying | undefined {
  let take: Take = { ...alone(terms), unstopped };
  for (const event of [...events, undefined]) {
    const limit = event?.at ?? Number.POSITIVE_INFINITY;
    for (let due = takeDue(take); due !== undefined && due < limit; due = takeDue(take)) {
      take = takeTime(take, due);
      if ((verdictMicros(take) ?? Number.POSITIVE_INFINITY) > due) continue;
      const [line] = take.lines;
      return { terms, events: eventsIn(line!), untilMicros: due, stop: earlyStopOf(take) };
    }
    if (event) take = takeEvent(take, 0, event);
  }
  return undefined;
}

function alone(terms: TakeTerms): Take {
  const { run, zeroMicros } = terms;
  return {
    run,
    attempt: 1,
    zeroMicros,
    beginMicros: zeroMicros,
    unstopped: false,
    lines: [startLine(terms)],
  };
}
