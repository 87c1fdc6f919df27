// What the ways to continue a hypothesis share: the note just played, and where the hypotheses that it makes are put.

import type { PlayedNote } from '../music/played-note.ts';
import type { Jumps } from './evidence.ts';
import type { Hypothesis } from './hypothesis.ts';
import type { Timetable } from './timetable.ts';

/** One played note and the hypotheses it makes; `limit` is the cost beyond which a hypothesis is not worth making. */
export interface Growth {
  readonly timetable: Timetable;
  readonly note: PlayedNote;
  readonly played: number;
  /** When the note before it was played, whatever it was. */
  readonly previousMicros: number;
  readonly jumps: Jumps;
  /** The hypothesis that is continued. What continues it is made from a copy that has its charges up to this note. */
  before: Hypothesis;
  limit: number;
  add(hypothesis: Hypothesis): void;
}
