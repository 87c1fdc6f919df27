// A lesson: what a teacher gives a pupil to work, with the music in it. Plain data; DEVELOPERS.md has its file.

import type { Passage } from '../music/passage.ts';
import type { ToleranceName } from '../take/tolerance.ts';

export const LESSON_FORMAT = 1;

/** One thing to work: drills on a part of a passage, in the words of the options of `fettle work`. */
export interface Assignment {
  /** Fingerprint of its music. */
  readonly passage: string;
  /** At most one of the three; the whole passage without. */
  readonly bars?: string;
  readonly onsets?: string;
  readonly mark?: string;
  /** Drills in a row, with commas. */
  readonly drill: string;
  /** Beats a minute to begin with, 10 to 400. */
  readonly tempo: number;
  /** Beats a minute to get to; the drills climb a ladder to it. Absent: the tempo is all that is asked. */
  readonly goal?: number;
  readonly tolerance: ToleranceName;
  /** Clean takes in a row that pass a step, 1 to 20; absent where a ladder is climbed. */
  readonly passes?: number;
  readonly snag?: string;
  readonly every?: string;
  readonly hold?: string;
  readonly note?: string;
  readonly variant?: string;
  readonly pulse?: string;
  /** An uneven touch is a fault and not only told. */
  readonly touch?: 'even';
  /** Local day by which it is to be done: 2026-12-03. */
  readonly due?: string;
  /** From the teacher. */
  readonly word?: string;
}

export interface Lesson {
  /** Tells lessons apart, whatever is in them. */
  readonly id: string;
  readonly title: string;
  readonly teacher?: string;
  /** Local day: takes from then on count. */
  readonly made: string;
  /** In the order in which they are worked; never empty. */
  readonly assignments: readonly Assignment[];
  /** By their fingerprints. */
  readonly passages: Readonly<Record<string, Passage>>;
}

export function musicOf({ passages }: Lesson, { passage }: Assignment): Passage {
  const music = passages[passage];
  if (!music) throw new Error(`A lesson has no music ${passage}`);
  return music;
}

/** The tempo at which it is done. */
export function goalBpmOf({ tempo, goal }: Assignment): number {
  return goal ?? tempo;
}
