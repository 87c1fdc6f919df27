// What all the ways to continue a hypothesis need: the note just played, and where to put the new hypotheses.

import type { PlayedNote } from '../music/played-note.ts';
import type { Jumps } from './evidence.ts';
import { type Act, type Hypothesis, HypothesisDraft } from './hypothesis.ts';
import type { Timetable } from './timetable.ts';

/** One played note and the new hypotheses; one that would cost more than `limit` is not made. */
export interface Growth {
  readonly timetable: Timetable;
  readonly note: PlayedNote;
  readonly played: number;
  /** When the note before it was played, and which key, whatever it was; of the first note its own. */
  readonly previousMicros: number;
  readonly previousPitch: number;
  readonly jumps: Jumps;
  /**
   * The hypothesis that is continued. The new ones grow from a copy of it in which notes left behind are charged up to
   * now.
   */
  before: Hypothesis;
  /** Its pace: played time over time asked. */
  pace: number;
  limit: number;
  add(hypothesis: HypothesisDraft): void;
}

/** What continues a hypothesis with the note just played, which found no slot. */
export function unplaced(r: Hypothesis, act: Act, cost: number, { before, played }: Growth): HypothesisDraft {
  const draft = new HypothesisDraft(r);
  draft.before = before;
  draft.depth = r.depth + 1;
  draft.cost = cost;
  draft.act = act;
  draft.played = played;
  draft.slot = -1;
  draft.wentBack = false;
  return draft;
}

/** What continues a hypothesis with the note just played in a slot. */
export function placed(
  r: Hypothesis,
  act: 'right' | 'wrong',
  slot: number,
  cost: number,
  growth: Growth,
): HypothesisDraft {
  const draft = unplaced(r, act, cost, growth);
  draft.slot = slot;
  draft.last = growth.played;
  draft.lastMicros = growth.note.onMicros;
  return draft;
}
