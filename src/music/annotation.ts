// Annotations: what is written over or under the music for the reader and is no part of what is played.

export type Annotation =
  /** Words over the staff. */
  | { readonly kind: 'text'; readonly tick: number; readonly text: string }
  /** Under the note that begins there: which note of the line it is, which hand takes it. */
  | { readonly kind: 'under'; readonly tick: number; readonly text: string }
  /** Over the notes from one onset to another, both included. */
  | { readonly kind: 'bracket'; readonly tick: number; readonly endTick: number; readonly text: string }
  /** A new line of music begins with the bar that begins there. */
  | { readonly kind: 'new-system'; readonly tick: number };

/** The same so many ticks later. */
export function shifted(annotation: Annotation, ticks: number): Annotation {
  const tick = annotation.tick + ticks;
  return annotation.kind === 'bracket'
    ? { ...annotation, tick, endTick: annotation.endTick + ticks }
    : { ...annotation, tick };
}
