// The events of a take on its way, as plain data that grows cheaply: in batches, each longer than the one after it. A
// new event joins the batches that are no longer than itself, so that each event is copied a few times and not once
// for every event after it.

import type { PlayerEvent } from '../music/player-event.ts';

/** By time. */
export type EventsSoFar = readonly (readonly PlayerEvent[])[];

/** With one more, which comes at or after the last. */
export function withLatest(soFar: EventsSoFar, event: PlayerEvent): EventsSoFar {
  let batch: readonly PlayerEvent[] = [event];
  let kept = soFar.length;
  for (; kept > 0 && soFar[kept - 1]!.length <= batch.length; kept -= 1)
    batch = [...soFar[kept - 1]!, ...batch];
  return [...soFar.slice(0, kept), batch];
}

/** With one more that belongs before others, after those of its own time. */
export function withLate(soFar: EventsSoFar, event: PlayerEvent): EventsSoFar {
  const all = soFar.flat();
  const after = all.findIndex(({ at }) => at > event.at);
  return [after < 0 ? [...all, event] : all.toSpliced(after, 0, event)];
}

export function latest(soFar: EventsSoFar): PlayerEvent | undefined {
  return soFar.at(-1)?.at(-1);
}
