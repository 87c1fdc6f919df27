// What the takes of a section show: day by day, player by player, place by place.

import { grouped } from '../music/grouped.ts';
import { mean } from '../statistics.ts';
import type { SectionTake } from './section-take.ts';

export interface SectionDay {
  /** Local day: 2026-11-25. */
  readonly day: string;
  readonly takes: number;
  readonly cleanTakes: number;
  /** Root mean square over its takes; absent where nobody was comparable. */
  readonly asynchronyMicros?: number;
}

export interface PlayerSum {
  readonly name: string;
  /** Means over the takes: from the middle of the others, positive = late. */
  readonly leadMicros?: number;
  readonly spreadMicros?: number;
  readonly cleanTakes: number;
  /** In which they were there and listened to. */
  readonly takes: number;
  /** In the last of them. */
  readonly calibrated: boolean;
}

export interface PlaceSum {
  /** The passage's onset number. */
  readonly onset: number;
  /** From the first to the last, mean over its takes. */
  readonly apartMicros: number;
  /** Who was first, and who last, most often. */
  readonly first: string;
  readonly last: string;
  readonly takes: number;
}

export interface SectionProgress {
  readonly takes: number;
  readonly cleanTakes: number;
  /** Oldest first. */
  readonly days: readonly SectionDay[];
  /** In the order in which they first appear. */
  readonly players: readonly PlayerSum[];
  /** Furthest apart first. */
  readonly places: readonly PlaceSum[];
}

/** `takes` in order of playing. */
export function sectionProgress(takes: readonly SectionTake[]): SectionProgress {
  const names = [...new Set(takes.flatMap(({ players }) => players.map(({ name }) => name)))];
  return {
    takes: takes.length,
    cleanTakes: cleanOf(takes),
    days: [...grouped(takes, ({ day }) => day)].map(([day, own]) => dayOfSection(day, own)),
    players: names.map((name) => playerSum(name, takes)),
    places: placeSums(takes),
  };
}

function cleanOf(takes: readonly SectionTake[]): number {
  return takes.filter(({ clean }) => clean).length;
}

function dayOfSection(day: string, takes: readonly SectionTake[]): SectionDay {
  const apart = takes.flatMap(({ together }) => together.asynchronyMicros ?? []);
  return {
    day,
    takes: takes.length,
    cleanTakes: cleanOf(takes),
    ...(apart.length === 0 ? {} : { asynchronyMicros: Math.sqrt(mean(apart.map((micros) => micros ** 2))) }),
  };
}

function playerSum(name: string, takes: readonly SectionTake[]): PlayerSum {
  const own = takes.flatMap(({ players }) => players.filter((one) => one.name === name));
  const played = own.filter(({ attendance }) => attendance !== 'muted' && attendance !== 'away');
  const places = takes.flatMap(({ together }) =>
    together.players.flatMap(({ player, leadMicros, spreadMicros }) =>
      player === name && leadMicros !== undefined && spreadMicros !== undefined
        ? [{ leadMicros, spreadMicros }]
        : [],
    ),
  );
  return {
    name,
    ...(places.length === 0
      ? {}
      : {
          leadMicros: mean(places.map(({ leadMicros }) => leadMicros)),
          spreadMicros: mean(places.map(({ spreadMicros }) => spreadMicros)),
        }),
    cleanTakes: played.filter(({ clean }) => clean).length,
    takes: played.length,
    calibrated: own.at(-1)?.calibrated ?? false,
  };
}

function placeSums(takes: readonly SectionTake[]): PlaceSum[] {
  const places = new Map<number, { apart: number[]; pairs: Map<string, Pair> }>();
  for (const { together, onsetAt } of takes) {
    for (const { tick, apartMicros, first, last } of together.moments) {
      const onset = onsetAt.get(tick);
      if (onset === undefined) continue;
      const place = places.get(onset) ?? { apart: [], pairs: new Map<string, Pair>() };
      places.set(onset, place);
      place.apart.push(apartMicros);
      const key = JSON.stringify([first, last]);
      place.pairs.set(key, { first, last, times: (place.pairs.get(key)?.times ?? 0) + 1 });
    }
  }
  return [...places]
    .map(([onset, { apart, pairs }]) => {
      const { first, last } = [...pairs.values()].reduce((most, one) =>
        one.times > most.times ? one : most,
      );
      return { onset, apartMicros: mean(apart), first, last, takes: apart.length };
    })
    .sort((a, b) => b.apartMicros - a.apartMicros);
}

interface Pair {
  readonly first: string;
  readonly last: string;
  readonly times: number;
}
