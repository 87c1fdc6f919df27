// Fingerings by note name, for tests.

import type { Fingering } from '../../src/fingering/fingering.ts';
import { type FingeringTable, fingeringTable } from '../../src/fingering/table.ts';
import { readSpelling, spellingToPitch } from '../../src/music/pitch.ts';

export function table(name: Parameters<typeof fingeringTable>[0]): FingeringTable {
  return fingeringTable(name)!;
}

export function pitch(note: string): number {
  return spellingToPitch(readSpelling(note)!);
}

export function fingerings(of: FingeringTable, note: string): readonly Fingering[] {
  return of.ofPitch.get(pitch(note)) ?? [];
}

/** The one of that name; the standard one where none is told. */
export function fingering(of: FingeringTable, note: string, name?: string): Fingering {
  const all = fingerings(of, note);
  const found = name === undefined ? all[0] : all.find((one) => one.name === name);
  if (!found) throw new Error(`no ${name} fingering of ${note}`);
  return found;
}

/** A line of equal notes. */
export function line(notes: string, micros = 250_000) {
  return notes.split(' ').map((note) => ({ pitch: pitch(note), micros, rested: false }));
}
