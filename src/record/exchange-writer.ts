// The record as a file that other programs can read, and that another record can take up: JSON Lines, one thing a line.
// DEVELOPERS.md has the format. Music and steps stand once, before the first take that needs them; a take is whole
// with the lines before it.

import type { Passage } from '../music/passage.ts';
import { ENTRY_FORMAT, type Entry } from './entry.ts';
import { passageFingerprint, stepFingerprint } from './fingerprint.ts';

/** What the first line says the file is. */
export const EXCHANGE_KIND = 'practice record';

export class ExchangeWriter {
  readonly #written = new Set<string>();
  #begun = false;

  /** The lines for the music, where it is known and has not been written yet. */
  passage(passage: Passage | undefined): string[] {
    if (!passage) return this.#begin();
    const fingerprint = passageFingerprint(passage);
    return [...this.#begin(), ...this.#once(fingerprint, { passage: fingerprint, music: passage })];
  }

  /** Whether the music of that fingerprint has been written. */
  knows(fingerprint: string): boolean {
    return this.#written.has(fingerprint);
  }

  /** The lines for a take: its step where that has not been written yet, and itself. */
  take(entry: Entry): string[] {
    const { playing, ...rest } = entry;
    if (!playing) return [...this.#begin(), JSON.stringify({ take: rest })];
    const { run, line, ...terms } = playing.terms;
    const step = stepFingerprint(run, line);
    return [
      ...this.#begin(),
      ...this.#once(step, { step, run, line }),
      JSON.stringify({ take: { ...rest, playing: { ...playing, terms: { step, ...terms } } } }),
    ];
  }

  #begin(): string[] {
    if (this.#begun) return [];
    this.#begun = true;
    return [JSON.stringify({ fettle: EXCHANGE_KIND, format: ENTRY_FORMAT })];
  }

  #once(fingerprint: string, content: object): string[] {
    if (this.#written.has(fingerprint)) return [];
    this.#written.add(fingerprint);
    return [JSON.stringify(content)];
  }
}
