// What every drill asks of a span and its settings before it makes anything.

import type { Span } from '../music/span.ts';
import { ok, type Result } from '../problem.ts';
import { BEATS_BEYOND } from './beat-grid.ts';
import type { DrillSettings } from './drill.ts';
import { refuse } from './refusal.ts';

/** The longest hold, in beats: within what the beat grid counts on past the end. */
const LONGEST_HOLD = BEATS_BEYOND / 2;

/**
 * The most notes that the steps of one drill may have together: more than a lifetime's practice of one span, and as
 * many as can be printed.
 */
const MOST_NOTES = 2_000_000;

/** At least two onsets, all of them in the passage. */
export function checkSpan(span: Span): Result<Span> {
  const { first, last, passage } = span;
  const count = passage.onsets.length;
  if (!Number.isInteger(first) || !Number.isInteger(last) || first < 1 || last > count) {
    return refuse(
      'span-outside',
      `Cannot work onsets ${first} to ${last}: ${passage.name} has onsets 1 to ${count}`,
      'Choose a span inside the passage.',
    );
  }
  if (last <= first) {
    return refuse(
      'span-too-short',
      `Cannot work onsets ${first} to ${last}: ${last === first ? 'that is one onset, and there is no interval to work' : 'the span ends before it begins'}`,
      'Choose a span of two onsets or more.',
    );
  }
  return ok(span);
}

/** Steps that grow with every step have many notes in all: refused before any is made. `counts`: onsets by step. */
export function checkNotes({ first, last }: Span, drill: string, counts: readonly number[]): Result<number> {
  const notes = counts.reduce((sum, count) => sum + count, 0);
  if (notes <= MOST_NOTES) return ok(notes);
  return refuse(
    'too-many-notes',
    `Cannot make ${drill} of onsets ${first} to ${last}: its ${counts.length} steps would have ${notes} notes in all, and ${MOST_NOTES} can be made`,
    'Choose a shorter span.',
  );
}

/** The snags asked for, in order and once each, every one an interval of the span; at least one. */
export function checkSnags(span: Span, settings: DrillSettings, drill: string): Result<readonly number[]> {
  const snags = [...new Set(settings.snags ?? [])].sort((a, b) => a - b);
  if (snags.length === 0) {
    return refuse(
      'snag-missing',
      `Cannot make ${drill}: no snag is named`,
      `Name the onset where the bad interval begins, ${span.first} to ${span.last - 1}: --snag ${span.first}`,
    );
  }
  for (const snag of snags) {
    if (Number.isInteger(snag) && snag >= span.first && snag < span.last) continue;
    const edge = snag === span.last ? ` (onset ${snag} is the span's last: no interval begins there)` : '';
    return refuse(
      'snag-outside',
      `Cannot make ${drill} at snag ${snag}: the span's intervals begin at onsets ${span.first} to ${span.last - 1}${edge}`,
      'A snag is named by the onset where the bad interval begins.',
    );
  }
  return ok(snags);
}

/** Beats a landing is held: 1 or more, `bar` for a whole bar of `perBar` beats; two when nothing is said. */
export function checkHold(settings: DrillSettings, perBar: number): Result<number> {
  const hold = settings.hold ?? 2;
  if (hold === 'bar') return ok(perBar);
  if (Number.isInteger(hold) && hold >= 1 && hold <= LONGEST_HOLD) return ok(hold);
  return refuse(
    'hold-range',
    `Cannot hold a landing for ${hold} beats: a hold is 1 to ${LONGEST_HOLD} whole beats, or a bar`,
    'A beat or two is enough to hear where you are.',
  );
}
