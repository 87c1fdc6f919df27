// A record whose takes are also sent to a studio, in the background: keeping a take waits for nothing but the disk.

import type { Worker } from 'node:worker_threads';
import type { Passage } from '../music/passage.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import type { Entry, EntryHeading } from '../record/entry.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import type { SharingWorkerData, ToSharing } from './sharing-worker.ts';
import { startWorker } from './worker-entry.ts';

/** At the end what still waits is given so long; then it is sent the next time. */
const LAST_MS = 3_000;

export class SharingRecord implements PracticeRecord {
  readonly #record: PracticeRecord;
  readonly #worker: Worker;
  readonly #ended: Promise<void>;

  constructor(record: PracticeRecord) {
    this.#record = record;
    const data: SharingWorkerData = { place: record.place };
    this.#worker = startWorker(new URL('./sharing-worker', import.meta.url), data);
    this.#ended = new Promise((resolve) => {
      this.#worker.on('exit', () => resolve());
      // Nothing that befalls a copy is worth a session: it waits in the outbox.
      this.#worker.on('error', () => resolve());
    });
  }

  get place(): string {
    return this.#record.place;
  }

  get rescued(): readonly string[] {
    return this.#record.rescued ?? [];
  }

  keepPassage(passage: Passage): string {
    return this.#record.keepPassage(passage);
  }

  append(entry: Entry): void {
    this.#record.append(entry);
    this.#tell('kept');
  }

  headings(filter?: TakeFilter): Promise<readonly EntryHeading[]> {
    return this.#record.headings(filter);
  }

  recall(name: string): unknown {
    return this.#record.recall(name);
  }

  remember(name: string, value: unknown): void {
    this.#record.remember(name, value);
  }

  onTrouble(tell: (sentence: string) => void): void {
    this.#record.onTrouble?.(tell);
  }

  close(): void {
    this.#record.close();
    this.#tell('end');
    const late = setTimeout(() => void this.#worker.terminate(), LAST_MS);
    void this.#ended.then(() => clearTimeout(late));
  }

  #tell(message: ToSharing): void {
    this.#worker.postMessage(message);
  }
}
