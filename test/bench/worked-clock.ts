// A clock on which work takes as long as it takes here, and the time in which nobody does anything is left out or
// shortened: an hour of a real program in the minutes that it is at work. With PROCESSOR_TIME=1 (on Linux) only the time that the main
// thread has a processor counts, for a machine that others keep busy; the clock itself then adds some 20 microseconds to
// all that is done.

import { readFileSync } from 'node:fs';
import type { Clock } from '../../src/ports/clock.ts';
import { SimulatedClock } from '../../src/simulation/simulated-clock.ts';

/**
 * In a pause of a real program the engine's other threads end what they began (making code fast, finding what can be
 * freed). With none of it they would be at work during whatever comes after the pause, and on a machine with two
 * processors hold it up: so a long pause is shortened and not left out.
 */
const LONG_MICROS = 150_000;
const SHORTENED_MS = 50;

export class WorkedClock implements Clock {
  readonly #due = new SimulatedClock();
  readonly #onStretch: (micros: number) => void;
  /** Up to here all is done. */
  #freeMicros = 0;
  /** When what is being done now began, by the machine's clock. */
  #began: number | undefined;
  /** When what is or was last done began, as `performance.now` has it. */
  beganMs = 0;

  /** `onStretch` hears how long each call-back took. */
  constructor(onStretch: (micros: number) => void) {
    this.#onStretch = onStretch;
  }

  nowMicros(): number {
    const worked = this.#began === undefined ? 0 : machineMicros() - this.#began;
    return Math.floor(Math.max(this.#due.nowMicros(), this.#freeMicros) + worked);
  }

  date(): Date {
    return this.#due.date();
  }

  wakeAt(atMicros: number, callback: () => void): () => void {
    return this.#due.wakeAt(atMicros, () => {
      const from = this.nowMicros();
      this.beganMs = performance.now();
      this.#began = machineMicros();
      callback();
      const took = machineMicros() - this.#began;
      this.#began = undefined;
      this.#freeMicros = from + took;
      this.#onStretch(took);
    });
  }

  /** Not counted: what the program itself does not do. */
  leaveOut<T>(work: () => T): T {
    const from = machineMicros();
    const result = work();
    if (this.#began !== undefined) this.#began += machineMicros() - from;
    return result;
  }

  /**
   * Until it is over. The engine has its turn after each call-back, as in a program that waits: in it memory is freed once
   * four fifths of what is for new things are full, where otherwise it is freed in the middle of whatever fills it.
   */
  async runWhile(goesOn: () => boolean): Promise<void> {
    for (let next = this.#due.nextMicros(); next !== undefined && goesOn(); next = this.#due.nextMicros()) {
      const idleMicros = next - this.nowMicros();
      if (idleMicros > LONG_MICROS) await new Promise((resolve) => setTimeout(resolve, SHORTENED_MS));
      this.#due.advanceTo(next);
      await new Promise((resolve) => setImmediate(resolve));
    }
  }
}

const ofProcessor = process.env['PROCESSOR_TIME'] === '1';

function machineMicros(): number {
  if (!ofProcessor) return performance.now() * 1000;
  // The system brings its account up to now when it is asked for the use of the processor.
  process.cpuUsage();
  const [nanos] = readFileSync('/proc/thread-self/schedstat', 'utf8').split(' ');
  return Number(nanos) / 1000;
}
