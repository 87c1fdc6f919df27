// A key that may stay down (or be taken instead of another) through a passage without changing what sounds: every
// fingering where that is so gets a twin, so that the plan can keep the finger there.

import type { Grade, TableLine } from './fingering.ts';

/** `twin` gives the keys with the finger there, or undefined where that would sound another note. */
export function withHeldKey(
  lines: readonly TableLine[],
  grade: Grade,
  twin: (keys: readonly string[]) => readonly string[] | undefined,
): readonly TableLine[] {
  return lines.flatMap((line): TableLine[] => {
    const [note, text, name, , , needs] = line;
    const keys = twin(text.split(' '));
    // The B flat itself, which the key is for, has its own lines.
    if (!keys || note.startsWith('A#')) return [line];
    const same = [note, keys.join(' '), name, grade, 'rule'] as const;
    return [line, needs ? [...same, needs] : same];
  });
}
