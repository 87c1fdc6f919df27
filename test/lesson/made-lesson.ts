// Lessons made by hand for tests, on music of the bundled passages.

import type { Assignment, Lesson } from '../../src/lesson/lesson.ts';
import type { Passage } from '../../src/music/passage.ts';
import { passageFingerprint } from '../../src/record/fingerprint.ts';

export function madeLesson(
  passage: Passage,
  assignments: readonly Partial<Assignment>[] = [{}],
  more: Partial<Lesson> = {},
): Lesson {
  const fingerprint = passageFingerprint(passage);
  return {
    id: 'tide0001',
    title: 'Harbour concert',
    made: '2026-03-01',
    assignments: assignments.map((one) => ({
      passage: fingerprint,
      bars: '2',
      drill: 'landings',
      tempo: 48,
      tolerance: 'steady',
      passes: 1,
      ...one,
    })),
    passages: { [fingerprint]: passage },
    ...more,
  };
}
