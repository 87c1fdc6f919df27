// A stroke: one onset as it was played, or one note that nobody asked for. The walk through the onsets makes
// strokes; releases.ts turns them into notes.

export type StrokeKind = 'right' | 'wrong' | 'extra' | 'blip' | 'restart' | 'ornament' | 'grace';

export interface StrokeNote {
  readonly pitch: number;
  readonly durationTicks: number;
  /** Index into the onset's notes; absent for an added note. */
  readonly note?: number;
  readonly kind: StrokeKind;
  /** Apart from its onset's time: the spread of a chord, grace notes before it. */
  readonly offsetMicros: number;
  /** Lengths that do not come from the page: blips, grace notes, ornaments. */
  readonly lengthMicros?: number;
}

export interface Stroke {
  /** Index of the onset that it belongs to or, for added notes, comes before. */
  readonly onset: number;
  readonly atMicros: number;
  readonly notes: readonly StrokeNote[];
}
