// Which takes are asked for.

import { dayOf, type EntryHeading } from './entry.ts';

/** All of them without a word. */
export interface TakeFilter {
  /** By the name that the player gave. */
  readonly passage?: string;
  /** By the music itself, whatever it is called. */
  readonly fingerprint?: string;
  readonly player?: string;
  readonly sitting?: string;
  readonly drill?: string;
  /** Local days, inclusive: 2026-11-25. */
  readonly from?: string;
  readonly to?: string;
  /** The latest so many. */
  readonly limit?: number;
}

/** Whether a take is asked for, but for the limit. */
export function isAskedFor(take: EntryHeading, filter: TakeFilter): boolean {
  const { from, to } = filter;
  const day = dayOf(take);
  return (
    (['passage', 'fingerprint', 'player', 'sitting', 'drill'] as const).every(
      (name) => filter[name] === undefined || take[name] === filter[name],
    ) &&
    (from === undefined || day >= from) &&
    (to === undefined || day <= to)
  );
}
