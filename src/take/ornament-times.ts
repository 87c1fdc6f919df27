// When a note with an ornament began. A trill or a turn may begin on the beat with its upper note, and graces may stand
// before the beat or on it: both are played. So the note counts from where its ornament began to where it was struck
// itself, wherever in that the beat lay.

import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import { isOrnamentPitch, requiredNotes } from '../music/onset.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { microsAt } from '../music/timing.ts';

/** The notes of an ornament follow one another within this time; a slower one is a note of its own. */
const ORNAMENT_NOTE_MICROS = 200_000;
/** Graces on the beat put their note off by so much at most (common practice, no source). */
const PUT_OFF_MOST_MICROS = 200_000;
/** What was played longer before the note than this is no grace of it. */
const GRACES_MOST_MICROS = 800_000;

/** The played notes, those with ornaments before them at the time that they count from. */
export function countedFrom(
  expectation: Expectation,
  played: readonly PlayedNote[],
  alignment: Alignment,
): readonly PlayedNote[] {
  const begun = ornamentsBegun(expectation, played, alignment);
  if (begun.size === 0) return played;
  const asked = expectation.onsets.map((onset) => microsAt(expectation, onset.tick));
  const plain = new Map<number, number>();
  for (const { onset, verdict, played: by } of alignment.notes) {
    if (verdict === 'right' && !begun.has(onset)) plain.set(onset, played[by!]!.onMicros);
  }
  const anchors = [...plain].map(([onset, atMicros]) => ({ askedMicros: asked[onset]!, atMicros }));
  const counted = played.slice();
  for (const [onset, { note, fromMicros }] of begun) {
    const due = dueMicros(asked[onset]!, anchors, expectation);
    const { onMicros } = played[note]!;
    if (due !== undefined)
      counted[note] = {
        ...played[note]!,
        onMicros: Math.min(onMicros, Math.max(fromMicros, Math.round(due))),
      };
  }
  return counted;
}

interface Begun {
  /** Index of the played note that is the written one. */
  readonly note: number;
  readonly fromMicros: number;
}

/** By onset of a single note, where something of its ornament came before it. */
function ornamentsBegun(
  { onsets }: Expectation,
  played: readonly PlayedNote[],
  { notes, extras }: Alignment,
): Map<number, Begun> {
  const added = extras.filter(({ kind }) => kind === 'ornament').map((extra) => played[extra.played]!);
  const gracesAt = new Map<number, number[]>();
  for (const { onset, note, verdict, played: by } of notes) {
    if (verdict !== 'right' || onsets[onset]!.notes[note]!.ornament !== 'grace') continue;
    gracesAt.set(onset, [...(gracesAt.get(onset) ?? []), played[by!]!.onMicros]);
  }
  const begun = new Map<number, Begun>();
  for (const { onset, note, verdict, played: by } of notes) {
    const { pitch, ornament } = onsets[onset]!.notes[note]!;
    if (verdict !== 'right' || ornament === 'grace' || requiredNotes(onsets[onset]!).length > 1) continue;
    const { onMicros } = played[by!]!;
    const before = (micros: number, most: number) => micros < onMicros && onMicros - micros <= most;
    const graces = (gracesAt.get(onset) ?? []).filter((micros) => before(micros, GRACES_MOST_MICROS));
    const upper =
      ornament === undefined
        ? []
        : added
            .filter((one) => one.pitch !== pitch && isOrnamentPitch(pitch, one.pitch))
            .map((one) => one.onMicros)
            .filter((micros) => before(micros, ORNAMENT_NOTE_MICROS));
    // Of a trill only the note right before: what came earlier may belong to the note before it.
    const from = Math.min(...graces, ...(upper.length > 0 ? [Math.max(...upper)] : []));
    if (Number.isFinite(from))
      begun.set(onset, { note: by!, fromMicros: Math.max(from, onMicros - PUT_OFF_MOST_MICROS) });
  }
  return begun;
}

/** Where a moment should be by those around it, without any by the click; undefined without both. */
function dueMicros(
  askedMicros: number,
  anchors: readonly { readonly askedMicros: number; readonly atMicros: number }[],
  { pulse, zeroMicros }: Expectation,
): number | undefined {
  const before = anchors.findLast((one) => one.askedMicros < askedMicros);
  const after = anchors.find((one) => one.askedMicros > askedMicros);
  const [first, last] = [anchors[0], anchors.at(-1)];
  if (!first || !last) return zeroMicros === undefined ? undefined : zeroMicros + askedMicros;
  if (before && after) {
    const share = (askedMicros - before.askedMicros) / (after.askedMicros - before.askedMicros);
    return before.atMicros + share * (after.atMicros - before.atMicros);
  }
  const stretch =
    pulse === 'click' || last === first
      ? 1
      : (last.atMicros - first.atMicros) / (last.askedMicros - first.askedMicros);
  const near = before ?? after!;
  return near.atMicros + (askedMicros - near.askedMicros) * stretch;
}
