// Which drills answer which trouble, in order, and why. Common practice, no source; the player may choose otherwise.

import type { ClickPlacement } from '../drills/click-placement.ts';
import type { DrillSettings } from '../drills/drill.ts';
import { isEven } from '../drills/rhythms.ts';
import type { OnsetRange } from '../drills/step-onset.ts';
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
  readonly why: PrescriptionReason;
}

/** `onset`: the number of the one that begins the interval. */
export type PrescriptionReason =
  | {
      readonly kind: 'interval' | 'long-interval' | 'beats' | 'line' | 'hesitation';
      readonly onset: number;
    }
  /** `share`: of the notes' length by which they come too soon. */
  | { readonly kind: 'rushing'; readonly share: number }
  | { readonly kind: 'whole'; readonly fault: WholeFault }
  | { readonly kind: 'unsettled' | 'none' };

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
        why: { kind: 'unsettled' },
      };
    case 'none':
      return {
        drills: [plain('through', span, { ladder: true })],
        why: { kind: 'none' },
      };
  }
}

/** What was wrong with the takes as a whole, from first to last. */
function forWhole(span: Span, fault: WholeFault): Prescription {
  return { drills: drillsForWhole(span, fault), why: { kind: 'whole', fault } };
}

function drillsForWhole(span: Span, fault: WholeFault): PrescribedDrill[] {
  const up = plain('through', span, { ladder: true });
  const rhythms = isEven(span) ? [plain('rhythms', span)] : [];
  const landings = plain('landings', span, { settings: { hold: 2 }, click: 'half' });
  switch (fault) {
    case 'too slow':
    case 'evened':
      return [up];
    case 'set otherwise':
      return [plain('through', span)];
    case 'too fast':
    case 'speeding':
    case 'hands apart':
    case 'off the click':
      return [landings, up];
    case 'slowing':
      return [plain('chain', span, { settings: { every: 'bar' } }), up];
    case 'lilting':
    case 'uneven':
      return [...rhythms, up];
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
    why: { kind: 'interval', onset },
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
    why: { kind: 'long-interval', onset },
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
    why: { kind: 'beats', onset },
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
    why: { kind: 'line', onset },
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
    why: { kind: 'rushing', share: Math.abs(share) },
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
    why: { kind: 'hesitation', onset },
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
