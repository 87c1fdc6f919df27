// A record whose takes are also sent to a studio, in the background: keeping a take waits for nothing but the disk.

import type { Worker } from 'node:worker_threads';
import type { Passage } from '../music/passage.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { ProblemError } from '../problem.ts';
import type { Entry, EntryHeading } from '../record/entry.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import type { Outbox } from './outbox.ts';
import type { SharingWorkerData, ToSharing } from './sharing-worker.ts';
import { withoutPassword } from './studio-address.ts';
import { startWorker } from './worker-entry.ts';

/** At the end what is on its way is given so long, which nobody notices; what still waits is sent the next time. */
const LAST_MS = 500;

export class SharingRecord implements PracticeRecord {
  readonly #record: PracticeRecord;
  readonly #outbox: Outbox;
  readonly #worker: Worker;
  readonly #ended: Promise<void>;

  /** `outbox`: the record's own. */
  constructor(record: PracticeRecord, outbox: Outbox) {
    this.#record = record;
    this.#outbox = outbox;
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

  async leave(): Promise<string | undefined> {
    await this.#end();
    try {
      const { share } = this.#outbox;
      const { takes } = this.#outbox.waiting();
      return share && takes > 0 ? waitingWords(takes, share.address) : undefined;
    } catch (error) {
      // A record that cannot be read is told elsewhere.
      if (error instanceof ProblemError) return undefined;
      throw error;
    }
  }

  close(): void {
    this.#record.close();
    void this.#end();
  }

  async #end(): Promise<void> {
    this.#tell('end');
    const late = setTimeout(() => void this.#worker.terminate(), LAST_MS);
    await this.#ended;
    clearTimeout(late);
  }

  #tell(message: ToSharing): void {
    this.#worker.postMessage(message);
  }
}

function waitingWords(takes: number, address: string): string {
  const [what, they] =
    takes === 1 ? ['1 take still waits', 'it is'] : [`${takes} takes still wait`, 'they are'];
  return `${what} to be sent to ${withoutPassword(address) ?? 'the studio'}: ${they} kept here and sent the next time.`;
}
