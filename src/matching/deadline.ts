// What becomes true without input: a note in doubt must be decided at last, and a note that nobody plays becomes
// missed. When that is depends on what was played alone, never on when anybody asks.

import { ticksToMicros } from '../music/tempo.ts';
import { MARGIN } from './commitment.ts';
import { MISSED } from './evidence.ts';
import type { Expectation } from './expectation.ts';
import { bitCount, chargedUntil, type Hypothesis, HypothesisDraft, reach } from './hypothesis.ts';
import { NONE_LEFT, tooLateMicros } from './left-behind.ts';
import type { Shortlist } from './shortlist.ts';
import type { Timetable } from './timetable.ts';

export interface Deadline {
  readonly atMicros: number;
  /**
   * `late`: a note left behind will not come any more. `slip`: the same, where it is still in doubt whether it was left
   * behind: nothing is decided, but a slip may be certain.
   */
  readonly kind: 'decide' | 'late' | 'slip' | 'missed';
}

/** A note in doubt is decided once the player has been silent for so many intervals, within these bounds. Judgement. */
const DECIDE_STEPS = 2;
const DECIDE_LEAST_MICROS = 600_000;
const DECIDE_MOST_MICROS = 3_000_000;
/**
 * With a click, a player who has been silent for two beats has dropped out; without one there is time to think.
 * Judgement.
 */
const CLICK_BEATS = 2;
const CLICK_LEAST_MICROS = 1_000_000;
const FREE_STEPS = 4;
const FREE_LEAST_MICROS = 3_000_000;

/**
 * The next moment at which time alone decides something, if there is one. `lastMicros`: the last thing that happened;
 * `gapMicros`: from the last note but one to the last.
 */
export function deadlineOf(
  shortlist: Shortlist,
  decided: Hypothesis,
  expectation: Expectation,
  timetable: Timetable,
  { lastMicros, gapMicros }: { readonly lastMicros: number; readonly gapMicros: number },
): Deadline | undefined {
  const best = shortlist[0]!;
  const due = nextDue(best, timetable, expectation);
  if (best !== decided) {
    // The place and the pace may be what is in doubt: the longest step that is likely counts, and the gap just played.
    let step = gapMicros;
    for (const r of shortlist) {
      if (r.cost > best.cost + MARGIN.slip) break;
      step = Math.max(step, (nextDue(r, timetable, expectation) ?? 0) - r.atMicros);
    }
    const wait = Math.min(Math.max(step * DECIDE_STEPS, DECIDE_LEAST_MICROS), DECIDE_MOST_MICROS);
    return { kind: 'decide', atMicros: Math.round(lastMicros + wait) };
  }
  const lateMicros = tooLateMicros(best.open);
  const missedMicros =
    due === undefined
      ? Number.POSITIVE_INFINITY
      : // Grace notes and notes left behind that have come since are no silence.
        Math.round(Math.max(due, best.lastMicros) + patience(best, due, expectation));
  if (lateMicros <= missedMicros && best.open.length > 0) return { kind: 'late', atMicros: lateMicros };
  return due === undefined ? undefined : { kind: 'missed', atMicros: missedMicros };
}

function patience(best: Hypothesis, due: number, expectation: Expectation): number {
  if (expectation.pulse === 'click') {
    const beat = ticksToMicros(expectation.tempo.beatTicks, expectation.tempo);
    return Math.max(CLICK_BEATS * beat, CLICK_LEAST_MICROS);
  }
  const step = best.cursor < 0 ? 0 : due - best.atMicros;
  return Math.max(FREE_STEPS * step, FREE_LEAST_MICROS);
}

/**
 * When the next onset is due, or after the last one the rest of its chord. Unknown before the first without a click.
 */
function nextDue(best: Hypothesis, timetable: Timetable, expectation: Expectation): number | undefined {
  const next = best.cursor + 1;
  if (best.cursor < 0) {
    const { zeroMicros } = expectation;
    return zeroMicros === undefined ? undefined : zeroMicros + timetable.atMicros[0]!;
  }
  if (next < timetable.atMicros.length) {
    const asked = timetable.atMicros[next]! - timetable.atMicros[best.cursor]!;
    return best.atMicros + asked * Math.exp(best.logPace);
  }
  const unplayed = bitCount(timetable.requiredMask[best.cursor]! & ~best.mask);
  return unplayed > 0 ? best.atMicros : undefined;
}

/** The hypothesis after the notes left behind that are too late by now have been given up. */
export function givenUp(best: Hypothesis, atMicros: number): Hypothesis {
  return withoutNote(best, chargedUntil(best, atMicros));
}

/** Makes of a draft a step after a hypothesis that no note brought about. */
function withoutNote(best: Hypothesis, draft: HypothesisDraft): HypothesisDraft {
  draft.before = best;
  draft.depth = best.depth + 1;
  draft.act = 'passed';
  draft.played = -1;
  draft.slot = -1;
  draft.wentBack = false;
  draft.slipped = true;
  return draft;
}

/** The hypothesis after the next onset (or the rest of the last one) has gone by unplayed. */
export function passed(best: Hypothesis, timetable: Timetable, expectation: Expectation): Hypothesis {
  const cursor = Math.min(best.cursor + 1, timetable.atMicros.length - 1);
  const next = withoutNote(best, new HypothesisDraft(best));
  reach(next, cursor, timetable.requiredMask[cursor]!);
  next.cost = best.cost + MISSED;
  next.atMicros = nextDue(best, timetable, expectation) ?? best.atMicros;
  next.open = NONE_LEFT;
  next.pending = 0;
  return next;
}
