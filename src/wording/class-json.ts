// What `fettle lesson read --json` prints; its form is told in DEVELOPERS.md.

import type { IntervalProgress } from '../coaching/progress.ts';
import type { ClassWork } from '../lesson/class-work.ts';
import { goalBpmOf } from '../lesson/lesson.ts';
import { intervalName } from './interval-name.ts';
import { assignmentPlace } from './lesson.ts';

const FORMAT = 1;

export function classJson({ lesson, pupils, shared }: ClassWork): object {
  const { id, title, teacher, made, passages } = lesson;
  const named = (passage: string, from: number) => intervalName(passages[passage]!, from);
  const trouble = (passage: string, { from, takes, troubledShare, meanMicros }: IntervalProgress) => ({
    from,
    interval: named(passage, from),
    takes,
    troubledShare,
    ...inMs(meanMicros),
  });
  return {
    format: FORMAT,
    lesson: { id, title, ...(teacher === undefined ? {} : { teacher }), made },
    assignments: lesson.assignments.map((assignment) => ({
      what: assignmentPlace(lesson, assignment),
      drills: assignment.drill.split(','),
      goalBpm: goalBpmOf(assignment),
      ...(assignment.due === undefined ? {} : { due: assignment.due }),
    })),
    pupils: pupils.map(({ name, made: returned, takes, days, judged, ofClass }) => ({
      name,
      returned,
      takes,
      days,
      judged,
      assignments: ofClass.map((outcome, i) => {
        if (!outcome) return null;
        const { cleanTempo, intervals, skipped, ...figures } = outcome;
        const { passage } = lesson.assignments[i]!;
        return {
          ...figures,
          ...cleanTempo,
          skipped: skipped.map(({ drill, name: step }) => ({ drill, step })),
          intervals: intervals.map((one) => trouble(passage, one)),
        };
      }),
    })),
    together: shared.map(({ passage, from, pupils: tripped, of, troubledShare, meanMicros }) => ({
      passage: passages[passage]!.title,
      from,
      interval: named(passage, from),
      pupils: tripped,
      of,
      troubledShare,
      ...inMs(meanMicros),
    })),
  };
}

function inMs(meanMicros: number | undefined): { readonly meanMs?: number } {
  return meanMicros === undefined ? {} : { meanMs: meanMicros / 1000 };
}
