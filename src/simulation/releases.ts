// From strokes to notes: when each is let go. Joined notes overlap or leave a gap by the player's habit; a wind
// instrument has one note at a time; no pitch is struck while it sounds.

import type { PlayedNote } from '../music/played-note.ts';
import { microsPerTick } from '../music/tempo.ts';
import type { Stroke, StrokeNote } from './stroke.ts';
import type { WalkSettings } from './walk-settings.ts';

/** A note and what the model meant by it. */
export interface LabelledNote {
  readonly played: PlayedNote & { readonly offMicros: number };
  readonly stroke: Stroke;
  readonly as: StrokeNote;
}

/** No note is shorter. */
const SHORTEST_MICROS = 5_000;

export function letGo(strokes: readonly Stroke[], settings: WalkSettings): LabelledNote[] {
  const { profile, random, wind, onsets } = settings;
  const perTick = microsPerTick(settings.tempo);
  const human = profile.motorSdMicros > 0;
  const struck = strokes
    .flatMap((stroke) => stroke.notes.map((as) => ({ stroke, as, on: stroke.atMicros + as.offsetMicros })))
    .sort((a, b) => a.on - b.on);
  return struck.map(({ stroke, as, on }, i) => {
    const later = struck.slice(i + 1);
    const next = later.find((s) => s.stroke !== stroke || s.as.kind === 'ornament');
    const same = later.find((s) => s.as.pitch === as.pitch);
    let length = as.lengthMicros;
    if (length === undefined) {
      // Joined to what begins where the note ends on the page, else let go a little before its written end.
      const endTick = onsets[stroke.onset]!.tick + as.durationTicks;
      const joined = later.find(
        (s) => s.stroke.onset > stroke.onset && onsets[s.stroke.onset]!.tick >= endTick,
      );
      length =
        joined && onsets[joined.stroke.onset]!.tick === endTick
          ? joined.on - on + random.normal(profile.overlapMicros, profile.overlapSdMicros)
          : as.durationTicks * perTick * (human ? 0.93 : 1);
    }
    if (wind && next) length = Math.min(length, next.on - on + Math.max(0, profile.overlapMicros));
    if (same) length = Math.min(length, same.on - on - SHORTEST_MICROS);
    const onMicros = Math.max(0, Math.round(on));
    const latest = same ? Math.round(same.on) - 1 : Number.POSITIVE_INFINITY;
    const offMicros = Math.max(
      onMicros + 1,
      Math.min(latest, Math.round(on + Math.max(SHORTEST_MICROS, length))),
    );
    const velocity = human ? Math.max(1, Math.min(127, Math.round(random.normal(80, 7)))) : 80;
    return { played: { pitch: as.pitch, onMicros, offMicros, velocity }, stroke, as };
  });
}
