// A practice record that lives as long as the process: for tests, and for runs that shall leave nothing behind.
// Entries are copied in and out, as a database would.

import type { Passage } from '../music/passage.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import type { Entry, EntryHeading } from '../record/entry.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import { isAskedFor, type TakeFilter } from '../record/take-filter.ts';

export class MemoryRecord implements PracticeRecord {
  readonly place = 'memory (nothing is kept)';
  readonly #entries: Entry[] = [];
  readonly #settings = new Map<string, string>();
  #open = true;

  keepPassage(passage: Passage): string {
    this.#assertOpen();
    return passageFingerprint(passage);
  }

  append(entry: Entry): void {
    this.#assertOpen();
    this.#entries.push(structuredClone(entry));
  }

  entries(filter: TakeFilter = {}): readonly Entry[] {
    this.#assertOpen();
    const { limit } = filter;
    const found = this.#entries.filter((entry) => isAskedFor(entry, filter));
    // The newest ones are what anybody wants who asks for a few.
    const kept = limit === undefined ? found : found.slice(Math.max(0, found.length - limit));
    return structuredClone(kept);
  }

  async headings(filter?: TakeFilter): Promise<readonly EntryHeading[]> {
    return this.entries(filter);
  }

  recall(name: string): unknown {
    this.#assertOpen();
    const text = this.#settings.get(name);
    return text === undefined ? undefined : JSON.parse(text);
  }

  remember(name: string, value: unknown): void {
    this.#assertOpen();
    if (value === undefined) this.#settings.delete(name);
    else this.#settings.set(name, JSON.stringify(value));
  }

  close(): void {
    this.#open = false;
  }

  #assertOpen(): void {
    if (!this.#open) throw new Error('Cannot use the practice record: it is closed');
  }
}
