// From strokes to notes: when each is let go. Joined notes overlap or leave a gap by the player's habit; a wind
// instrument has one note at a time; no pitch is struck while it sounds.

import type { PlayedNote } from '../matching/expectation.ts';
import { microsPerTick } from '../music/tempo.ts';
import type { Stroke, StrokeNote } from './stroke.ts';
import type { WalkSettings } from './walk.ts';

/** A note and what the model meant by it. */
export interface LabelledNote {
  readonly played: PlayedNote & { readonly offMicros: number };
  readonly stroke: Stroke;
  readonly as: StrokeNote;
}

/** No note is shorter. */
const SHORTEST_MICROS = 5_000;

export function letGo(strokes: readonly Stroke[], settings: WalkSettings): LabelledNote[] {
  const { profile, random } = settings;
  const perTick = microsPerTick(settings.tempo);
  const struck = strokes
    .flatMap((stroke) => stroke.notes.map((as) => ({ stroke, as, on: stroke.atMicros + as.offsetMicros })))
    .sort((a, b) => a.on - b.on);
  const labelled: LabelledNote[] = struck.map(({ stroke, as, on }, i) => {
    const onMicros = Math.max(0, Math.round(on));
    const next = struck.slice(i + 1).find((later) => later.stroke !== stroke || later.as.kind === 'ornament');
    const same = struck.slice(i + 1).find((later) => later.as.pitch === as.pitch);
    const full = as.lengthMicros ?? as.durationTicks * perTick;
    const joined = next !== undefined && next.on - on < full * 1.15 && next.on - on > full * 0.6;
    let length = full;
    if (joined) length = next.on - on + random.normal(profile.overlapMicros, profile.overlapSdMicros);
    else if (as.lengthMicros === undefined) length = full * (profile.motorSdMicros > 0 ? 0.93 : 1);
    if (settings.wind && next) {
      length = Math.min(length, next.on - on + Math.max(0, profile.overlapMicros));
    }
    if (same) length = Math.min(length, same.on - on - SHORTEST_MICROS);
    const latest = same ? Math.round(same.on) - 1 : Number.POSITIVE_INFINITY;
    const offMicros = Math.max(
      onMicros + 1,
      Math.min(latest, Math.round(on + Math.max(SHORTEST_MICROS, length))),
    );
    const velocity = Math.max(
      1,
      Math.min(127, Math.round(profile.motorSdMicros > 0 ? random.normal(80, 7) : 80)),
    );
    return { played: { pitch: as.pitch, onMicros, offMicros, velocity }, stroke, as };
  });
  return labelled;
}
