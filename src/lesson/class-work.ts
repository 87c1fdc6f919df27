// What a class made of a lesson, and what is worth working on with all of it together.

import { WORST_SHARE } from '../coaching/progress.ts';
import { mean } from '../statistics.ts';
import type { Assignment, Lesson } from './lesson.ts';
import type { Outcome } from './outcome.ts';
import type { PupilWork } from './pupil-work.ts';

export interface ClassWork {
  readonly lesson: Lesson;
  readonly pupils: readonly ClassPupil[];
  /** What trips most of them, most pupils first. */
  readonly shared: readonly SharedTrouble[];
}

export interface ClassPupil extends PupilWork {
  /** One for each of the class's assignments; undefined where the pupil's lesson does not have it. */
  readonly ofClass: readonly (Outcome | undefined)[];
}

export interface SharedTrouble {
  /** Fingerprint of the passage. */
  readonly passage: string;
  /** Onset number where the interval begins. */
  readonly from: number;
  /** Pupils whom it trips, of those who played it. */
  readonly pupils: number;
  readonly of: number;
  /** Mean over the pupils whom it trips of the share of their takes, 0 to 1. */
  readonly troubledShare: number;
  /** Mean of their deviations, where it was timed; positive = too long. */
  readonly meanMicros?: number;
}

/** Fewer takes of an interval say nothing of a pupil. */
const LEAST_TAKES = 3;
const MOST_SHARED = 8;

/** `pupils`: of one lesson, never empty. The longest form of it counts: assignments are only ever added. */
export function classWork(pupils: readonly PupilWork[]): ClassWork {
  const lesson = pupils
    .map((pupil) => pupil.lesson)
    .reduce((longest, one) => (one.assignments.length > longest.assignments.length ? one : longest));
  return {
    lesson,
    pupils: pupils
      .map((pupil) => ({
        ...pupil,
        ofClass: lesson.assignments.map((asked, i) => {
          const own = pupil.lesson.assignments[i];
          return own && isSame(own, asked) ? pupil.outcomes[i] : undefined;
        }),
      }))
      .sort((a, b) => a.name.localeCompare(b.name)),
    shared: sharedTroubles(pupils),
  };
}

/** Asked of the same place with the same drills. */
function isSame(a: Assignment, b: Assignment): boolean {
  return (['passage', 'bars', 'onsets', 'mark', 'drill'] as const).every((name) => a[name] === b[name]);
}

function sharedTroubles(pupils: readonly PupilWork[]): SharedTrouble[] {
  const played = new Map<string, { passage: string; from: number; of: number; tripped: Tripped[] }>();
  for (const { byPassage } of pupils) {
    for (const [passage, { intervals }] of Object.entries(byPassage)) {
      for (const { from, takes, troubledShare, meanMicros } of intervals) {
        if (takes < LEAST_TAKES) continue;
        const key = `${passage} ${from}`;
        const one = played.get(key) ?? { passage, from, of: 0, tripped: [] };
        one.of += 1;
        if (troubledShare > WORST_SHARE)
          one.tripped.push({ troubledShare, ...(meanMicros === undefined ? {} : { meanMicros }) });
        played.set(key, one);
      }
    }
  }
  const least = Math.min(2, pupils.length);
  return [...played.values()]
    .filter(({ tripped }) => tripped.length >= least)
    .map(({ passage, from, of, tripped }): SharedTrouble => {
      const timed = tripped.flatMap(({ meanMicros }) => (meanMicros === undefined ? [] : [meanMicros]));
      return {
        passage,
        from,
        pupils: tripped.length,
        of,
        troubledShare: mean(tripped.map(({ troubledShare }) => troubledShare)),
        ...(timed.length === 0 ? {} : { meanMicros: mean(timed) }),
      };
    })
    .sort((a, b) => b.pupils - a.pupils || b.troubledShare - a.troubledShare || a.from - b.from)
    .slice(0, MOST_SHARED);
}

interface Tripped {
  readonly troubledShare: number;
  readonly meanMicros?: number;
}
