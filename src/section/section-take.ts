// A take of a section, as it is compared, kept and told over many days: who was clean, who counted, how far apart they were.

import { grouped } from '../music/grouped.ts';
import { dayOf, type EntryHeading, type EntrySummary } from '../record/entry.ts';
import type { Arrival, KeptVerdict } from '../record/kept-verdict.ts';
import type { Attendance } from '../record/played-together.ts';
import type { PlayerOnsets } from './player-onsets.ts';
import { type Together, together } from './together.ts';

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
  return byTake(entries.filter(({ together: played, verdict }) => played && verdict)).map(sectionTake);
}

/** One heading for each take of a section: clean, counted and onward as the section's. */
export function sectionHeadings(entries: readonly EntryHeading[]): EntryHeading[] {
  return byTake(entries.filter(({ together: played }) => played)).map((own) => ({
    ...own[0]!,
    clean: isCleanTogether(own),
    counted: own.some(({ counted }) => counted),
  }));
}

function byTake<E extends EntryHeading>(entries: readonly E[]): E[][] {
  const takes = grouped(entries, ({ sitting, together: played }) =>
    JSON.stringify([played!.section, sitting, played!.take]),
  );
  return [...takes.values()];
}

/** As clean as its players have to be. */
function isCleanTogether(entries: readonly EntryHeading[]): boolean {
  const counted = entries.filter(({ together: played }) => played!.attendance === 'counted');
  return counted.length > 0 && counted.filter(({ clean }) => clean).length >= entries[0]!.together!.needed;
}

function sectionTake(entries: readonly EntrySummary[]): KeptSectionTake {
  const [one] = entries;
  return {
    day: dayOf(one!),
    drill: one!.drill,
    stepName: one!.stepName,
    tempoBpm: one!.tempoBpm,
    clean: isCleanTogether(entries),
    players: entries.map(({ player, clean: isClean, together: played }) => ({
      name: player,
      attendance: played!.attendance,
      clean: isClean,
      calibrated: played!.calibrated === true,
    })),
    together: together(entries.map(({ player, verdict }) => onsetsOf(player, comparable(verdict!)))),
    onsetAt: new Map(
      entries.flatMap(({ verdict }) => (verdict!.arrivals ?? []).map(({ tick, onset }) => [tick, onset])),
    ),
  };
}

/** Nothing of a take with more slips than right onsets: that was other music, and what was right in it came of chance. */
function comparable({ arrivals = [], slips }: KeptVerdict): readonly Arrival[] {
  return slips.length > arrivals.length ? [] : arrivals;
}

function onsetsOf(player: string, arrivals: readonly Arrival[]): PlayerOnsets {
  return { player, onsetMicrosByTick: new Map(arrivals.map(({ tick, micros }) => [tick, micros])) };
}
