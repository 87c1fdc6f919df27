// Which takes are asked for.

import { dayOf, type EntryHeading } from './entry.ts';

/** Where none of these is given, all takes are asked for. */
export interface TakeFilter {
  /** By the name that the player gave. */
  readonly passage?: string;
  /** By the music itself, whatever it is called; null: takes that do not say (format 1). */
  readonly fingerprint?: string | null;
  /** Any of them. */
  readonly players?: readonly string[];
  readonly drill?: string;
  /** Played together in the section of this name. */
  readonly section?: string;
  /** Of exactly this span: onset numbers. */
  readonly first?: number;
  readonly last?: number;
  /** Local days, inclusive: 2026-11-25. */
  readonly from?: string;
  readonly to?: string;
  /** The latest so many. */
  readonly limit?: number;
}

/** Whether a take is asked for, but for the limit. */
export function isAskedFor(take: EntryHeading, filter: TakeFilter): boolean {
  const { from, to, players, fingerprint } = filter;
  const day = dayOf(take);
  return (
    (['passage', 'drill', 'first', 'last'] as const).every(
      (name) => filter[name] === undefined || take[name] === filter[name],
    ) &&
    (fingerprint === undefined || (take.fingerprint ?? null) === fingerprint) &&
    (filter.section === undefined || take.together?.section === filter.section) &&
    (players === undefined || players.includes(take.player)) &&
    (from === undefined || day >= from) &&
    (to === undefined || day <= to)
  );
}
