// A take of a section, as it is compared, kept and told over many days: who was clean, who counted, how far apart they were.

import { grouped } from '../music/grouped.ts';
import { dayOf, type EntrySummary } from '../record/entry.ts';
import type { Arrival } from '../record/kept-verdict.ts';
import type { Attendance } from '../record/played-together.ts';
import { type PlayerOnsets, type Together, together } from './together.ts';

interface SectionTakePlayer {
  readonly name: string;
  readonly attendance: Attendance;
  readonly clean: boolean;
  /** The lag of their set-up was known and taken off. */
  readonly calibrated: boolean;
}

export interface SectionTake {
  /** Local day: 2026-11-25. */
  readonly day: string;
  readonly clean: boolean;
  readonly players: readonly SectionTakePlayer[];
  readonly together: Together;
  /** The passage's onset number of each tick of the run that somebody played. */
  readonly onsetAt: ReadonlyMap<number, number>;
}

export interface KeptSectionTake extends SectionTake {
  readonly drill: string;
  readonly stepName: string;
  readonly tempoBpm: number;
}

/**
 * From the entries of its players, in order of playing. Takes that were broken off have no verdict and are left out; who
 * was not listened to has no entry.
 */
export function sectionTakes(entries: readonly EntrySummary[]): KeptSectionTake[] {
  const judged = entries.filter(({ together: played, verdict }) => played && verdict);
  const takes = grouped(judged, ({ sitting, together: played }) =>
    JSON.stringify([played!.section, sitting, played!.take]),
  );
  return [...takes.values()].map(sectionTake);
}

function sectionTake(entries: readonly EntrySummary[]): KeptSectionTake {
  const [one] = entries;
  const counted = entries.filter(({ together: played }) => played!.attendance === 'counted');
  const clean = counted.filter((entry) => entry.clean).length;
  return {
    day: dayOf(one!),
    drill: one!.drill,
    stepName: one!.stepName,
    tempoBpm: one!.tempoBpm,
    clean: counted.length > 0 && clean >= one!.together!.needed,
    players: entries.map(({ player, clean: isClean, together: played }) => ({
      name: player,
      attendance: played!.attendance,
      clean: isClean,
      calibrated: played!.calibrated === true,
    })),
    together: together(entries.map(({ player, verdict }) => onsetsOf(player, verdict!.arrivals ?? []))),
    onsetAt: new Map(
      entries.flatMap(({ verdict }) => (verdict!.arrivals ?? []).map(({ tick, onset }) => [tick, onset])),
    ),
  };
}

function onsetsOf(player: string, arrivals: readonly Arrival[]): PlayerOnsets {
  return { player, onsetMicrosByTick: new Map(arrivals.map(({ tick, micros }) => [tick, micros])) };
}
