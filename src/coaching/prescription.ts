// Which drills answer which trouble, in order, and why in a sentence. Common practice, no source; the player may
// choose otherwise.

import type { ClickPlacement } from '../drills/click-placement.ts';
import type { DrillSettings } from '../drills/drill.ts';
import { isEven } from '../drills/rhythms.ts';
import type { OnsetRange } from '../drills/step-onset.ts';
import { intervalName } from '../music/interval-name.ts';
import { beatTicksAt, onsetNumbered, type Span } from '../music/span.ts';
import type { Difficulty, Snag, WholeFault } from './difficulty.ts';

export interface PrescribedDrill extends OnsetRange {
  readonly name: string;
  readonly settings: Omit<DrillSettings, 'tempo'>;
  readonly click?: ClickPlacement;
  /** Run up the tempo ladder. */
  readonly ladder: boolean;
}

export interface Prescription {
  /** Never empty. */
  readonly drills: readonly PrescribedDrill[];
  readonly why: string;
}

/** Onsets of the longest stretch for switchback: over n of them it has n² - n + 1 notes. */
const SWITCHBACK_ONSETS = 12;

/** For a span of two onsets or more; places outside it are moved to its edge. */
export function prescribe(difficulty: Difficulty, span: Span): Prescription {
  switch (difficulty.kind) {
    case 'interval':
      return forInterval(span, difficulty.snag);
    case 'beats':
      return forBeats(span, within(span, difficulty), difficulty.worst);
    case 'line':
      return forLine(span, difficulty.worst);
    case 'rushing':
      return forRushing(span, within(span, difficulty), difficulty.share);
    case 'hesitation':
      return forHesitation(span, difficulty.snag);
    case 'whole':
      return forWhole(span, difficulty.fault);
    case 'unsettled':
      return {
        drills: [
          plain('landings', span, { settings: { every: 'growing', hold: 2 } }),
          plain('through', span, { ladder: true }),
        ],
        why: 'No one place stands out and yet no run-through was clean: build it from short runs that grow, slower first.',
      };
    case 'none':
      return {
        drills: [plain('through', span, { ladder: true })],
        why: 'Nothing stands out: play it through with what comes before and after, a little faster each time.',
      };
  }
}

/** What was wrong with the takes as a whole, from first to last. */
function forWhole(span: Span, fault: WholeFault): Prescription {
  const up = plain('through', span, { ladder: true });
  const rhythms = isEven(span) ? [plain('rhythms', span)] : [];
  const landings = plain('landings', span, { settings: { hold: 2 }, click: 'half' });
  switch (fault) {
    case 'too slow':
      return {
        drills: [up],
        why: 'All of it was slower than the click: begin at the tempo that is yours now and climb.',
      };
    case 'too fast':
      return {
        drills: [landings, up],
        why: 'All of it was faster than the click: stop on every beat until the click is there first.',
      };
    case 'speeding':
      return {
        drills: [landings, up],
        why: 'It got faster and faster: stop on every beat until the click is there first, then carry the pulse through.',
      };
    case 'slowing':
      return {
        drills: [plain('chain', span, { settings: { every: 'bar' } }), up],
        why: 'It got slower and slower: add bar to bar at a tempo that you can keep, then climb.',
      };
    case 'lilting':
      return {
        drills: [...rhythms, up],
        why: 'The notes came in long and short pairs that are not written: play it long-short and short-long on purpose, then even.',
      };
    case 'uneven':
      return {
        drills: [...rhythms, up],
        why: 'It was uneven all over, at no one place: rhythms first, then slowly through, and faster only when it is even.',
      };
    case 'hands apart':
      return {
        drills: [landings, up],
        why: 'The hands were apart from first to last: work each alone (--hand left, --hand right), then bring them together on every beat.',
      };
    case 'off the click':
      return {
        drills: [landings, up],
        why: 'The notes were right and the place on the click was not: land on every beat until you stand on it.',
      };
  }
}

function forInterval(span: Span, snag: Snag): Prescription {
  const onset = snagIn(span, snag);
  const near = beatsAround(span, onset, 4);
  if (snag.kinds[0] === 'dragged' || snag.kinds[0] === 'hesitant') return forLongInterval(span, onset, near);
  return {
    drills: [
      plain('tenuto', beatsAround(span, onset, 2), { settings: { snags: [onset] } }),
      plain('widening', near, { settings: { snags: [onset] } }),
      plain('through', near, { ladder: true }),
    ],
    why: `Only ${intervalName(span.passage, onset)} trips: lean on its first note until the next one is ready, then let the line grow around it in time.`,
  };
}

/** An interval that is too long already: leaning on it would only teach to wait. */
function forLongInterval(span: Span, onset: number, near: OnsetRange): Prescription {
  return {
    drills: [
      plain('switchback', narrowed({ ...span, ...near }, onset)),
      plain('widening', near, { settings: { snags: [onset] } }),
      plain('through', near, { ladder: true }),
    ],
    why: `Only ${intervalName(span.passage, onset)} comes too late: learn the way from both sides until the fingers know it, then let the line grow around it in time.`,
  };
}

function forBeats(span: Span, beats: OnsetRange, worst: Snag): Prescription {
  const onset = snagIn({ ...span, ...beats }, worst);
  return {
    drills: [
      plain('landings', beats, { settings: { hold: 2 } }),
      plain('switchback', narrowed({ ...span, ...beats }, onset)),
      plain('widening', beats, { settings: { snags: [onset] } }),
      plain('through', beats, { ladder: true }),
    ],
    why: `Each beat is easy alone and several in a row are not: join them one landing at a time, learn the way through ${intervalName(span.passage, onset)} from both sides, then widen from there.`,
  };
}

function forLine(span: Span, worst: Snag): Prescription {
  const onset = snagIn(span, worst);
  return {
    drills: [
      plain('landings', span, { settings: { every: 'growing', hold: 2 } }),
      ...(isEven(span) ? [plain('rhythms', span)] : []),
      plain('chain', span, { settings: { every: 'bar' } }),
      plain('widening', beatsAround(span, onset, 4), { settings: { snags: [onset] } }),
      plain('through', span, { ladder: true }),
    ],
    why: `There is trouble all over the line: build it from short runs that grow, link its bars, and only then go to the worst place, ${intervalName(span.passage, onset)}.`,
  };
}

function forRushing(span: Span, rushed: OnsetRange, share: number): Prescription {
  return {
    drills: [
      plain('landings', rushed, { settings: { hold: 2 }, click: 'half' }),
      ...(isEven({ ...span, ...rushed }) ? [plain('rhythms', rushed)] : []),
      plain('through', rushed, { click: 'offbeat' }),
      plain('through', rushed, { click: 'silent-bars', ladder: true }),
    ],
    why: `The notes come too soon, by ${Math.round(Math.abs(share) * 100)} % of their length: stop on every beat until the click is there first, then carry the pulse with less and less of it.`,
  };
}

function forHesitation(span: Span, snag: Snag): Prescription {
  const onset = snagIn(span, snag);
  const near = beatsAround(span, onset, 2);
  return {
    drills: [
      plain('widening', near, { settings: { snags: [onset] } }),
      plain('chain', near),
      plain('through', near, { ladder: true }),
    ],
    why: `The line stops in ${intervalName(span.passage, onset)} because the next note is not ready: enter right there in time with a click that does not wait, then come to it from further and further away.`,
  };
}

function plain(
  name: string,
  { first, last }: OnsetRange,
  rest: Partial<Pick<PrescribedDrill, 'settings' | 'click' | 'ladder'>> = {},
): PrescribedDrill {
  return { name, first, last, settings: {}, ladder: false, ...rest };
}

/** The part of the span from so many beats before the snag to as many after it. */
function beatsAround(span: Span, snag: number, beats: number): OnsetRange {
  const { passage } = span;
  const from = onsetNumbered(passage, snag).tick;
  const to = onsetNumbered(passage, snag + 1).tick;
  const margin = beats * beatTicksAt(passage, from);
  let first = snag;
  let last = snag + 1;
  while (first > span.first && onsetNumbered(passage, first - 1).tick >= from - margin) first--;
  while (last < span.last && onsetNumbered(passage, last + 1).tick <= to + margin) last++;
  return { first, last };
}

/** No more onsets than switchback bears, the snag in their middle as far as the span goes. */
function narrowed(span: Span, snag: number): OnsetRange {
  const first = Math.max(
    span.first,
    Math.min(snag + 1 - SWITCHBACK_ONSETS / 2, span.last + 1 - SWITCHBACK_ONSETS),
  );
  return { first, last: Math.min(span.last, first + SWITCHBACK_ONSETS - 1) };
}

function within(span: Span, range: OnsetRange): OnsetRange {
  const first = Math.min(Math.max(span.first, range.first), span.last - 1);
  return { first, last: Math.max(first + 1, Math.min(span.last, range.last)) };
}

function snagIn(span: Span, { onset }: Snag): number {
  return Math.min(Math.max(span.first, onset), span.last - 1);
}
