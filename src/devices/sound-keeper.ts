// Keeps sound going: a sound device that takes no more, or whose server was started anew, is opened again as soon as
// it can be. What is to be heard meanwhile is silent and not made up for.

import type { Result } from '../problem.ts';
import type { ClickOutput } from './click-output.ts';
import type { TimedSound } from './timed-sound.ts';

/** How often a lost device is tried again. */
const RETRY_MICROS = 2_000_000;

export class SoundKeeper implements ClickOutput {
  readonly leadMicros: number;
  readonly #open: () => Promise<Result<ClickOutput>>;
  readonly #now: () => number;
  #output: ClickOutput;
  #opening = false;
  #closed = false;
  #triedMicros = Number.NEGATIVE_INFINITY;

  /** @param open opens the device once more; @param now microseconds on the session's clock */
  constructor(output: ClickOutput, open: () => Promise<Result<ClickOutput>>, now: () => number) {
    this.#output = output;
    this.leadMicros = output.leadMicros;
    this.#open = open;
    this.#now = now;
  }

  get lost(): boolean {
    return this.#output.lost === true;
  }

  start(timed: TimedSound): void {
    if (!this.lost) this.#output.start(timed);
  }

  end(timed: TimedSound): void {
    this.#output.end(timed);
  }

  cut(timed: TimedSound, atMicros: number): void {
    this.#output.cut(timed, atMicros);
  }

  tend(): void {
    this.#output.tend?.();
    if (!this.lost || this.#opening || this.#now() - this.#triedMicros < RETRY_MICROS) return;
    this.#triedMicros = this.#now();
    this.#opening = true;
    void this.#reopen();
  }

  async #reopen(): Promise<void> {
    try {
      const opened = await this.#open();
      if (!opened.ok) return;
      if (this.#closed || opened.value.lost) {
        await opened.value.close();
        return;
      }
      const gone = this.#output;
      this.#output = opened.value;
      await gone.close();
    } finally {
      this.#opening = false;
    }
  }

  async close(): Promise<void> {
    this.#closed = true;
    await this.#output.close();
  }
}
