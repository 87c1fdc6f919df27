// Beams: notes shorter than a quarter are joined within a beat (common practice, no source).

import type { NoteValue } from './note-values.ts';

export type BeamMark = 'begin' | 'continue' | 'end' | 'forward hook' | 'backward hook';

/** A note or rest of a bar, in order. */
export interface Beamable {
  readonly offset: number;
  /** Undefined for a length that no value has. */
  readonly value: NoteValue | undefined;
  readonly rest: boolean;
  /** The tuplet it belongs to: a beam never leaves a tuplet or enters one. */
  readonly group: unknown;
}

/** For each of them its beams from the first level down. `beats`: offsets where beats begin. */
export function beamsOf(notes: readonly Beamable[], beats: readonly number[]): BeamMark[][] {
  const result: BeamMark[][] = notes.map(() => []);
  let from = 0;
  while (from < notes.length) {
    let to = from;
    while (to + 1 < notes.length && joined(notes, to, beats)) to += 1;
    if (to > from) beamRun(notes, from, to, result);
    from = to + 1;
  }
  return result;
}

function joined(notes: readonly Beamable[], i: number, beats: readonly number[]): boolean {
  const [a, b] = [notes[i]!, notes[i + 1]!];
  const beamed = (n: Beamable) => !n.rest && (n.value?.beams ?? 0) > 0;
  return beamed(a) && beamed(b) && a.group === b.group && !beats.includes(b.offset);
}

function beamRun(notes: readonly Beamable[], from: number, to: number, result: BeamMark[][]): void {
  const levels = (i: number) => (i < from || i > to ? 0 : notes[i]!.value!.beams);
  for (let i = from; i <= to; i += 1) {
    for (let level = 1; level <= levels(i); level += 1) {
      const before = levels(i - 1) >= level;
      const after = levels(i + 1) >= level;
      const hook = i === from ? 'forward hook' : 'backward hook';
      result[i]!.push(before && after ? 'continue' : after ? 'begin' : before ? 'end' : hook);
    }
  }
}
