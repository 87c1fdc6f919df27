// What the disk takes for the bytes of a take, with nothing of ours: a reader of the figures can tell it from us.

import { fdatasyncSync, openSync, writeSync } from 'node:fs';

/** Written to at the same moments as the record, another file. */
export class BareDisk {
  /** About what a take adds to the write-ahead log: its row and a page of each index. */
  static readonly #BYTES = 10 * 4096;
  readonly durations: number[] = [];
  readonly #file: number;
  readonly #block = Buffer.alloc(BareDisk.#BYTES, 7);

  constructor(path: string) {
    this.#file = openSync(path, 'w');
  }

  write(): void {
    const start = performance.now();
    writeSync(this.#file, this.#block);
    fdatasyncSync(this.#file);
    this.durations.push(performance.now() - start);
  }
}
