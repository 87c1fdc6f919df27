// MIDI clock: a shared pulse, 24 timing clocks (F8) a quarter note, framed by start (FA) or continue (FB) and stop (FC);
// MIDI 1.0, System Real-Time. After a start the next clock is the first beat. Sending makes the pulses of a stretch;
// following turns incoming ones into a tempo and the place of the beats. Pure; microseconds.

import { CONTINUE, START, STOP, TIMING_CLOCK } from './midi-message.ts';

export const CLOCKS_PER_QUARTER = 24;

export interface ClockPulse {
  readonly atMicros: number;
  readonly byte: number;
}

/** The pulses of `quarters` quarter notes from `zeroMicros`: a start just before the first clock, a stop at the end. */
export function clockPulses({
  zeroMicros,
  quarterMicros,
  quarters,
}: {
  zeroMicros: number;
  quarterMicros: number;
  quarters: number;
}): ClockPulse[] {
  const count = Math.round(quarters * CLOCKS_PER_QUARTER);
  const at = (clock: number) => Math.round(zeroMicros + (clock * quarterMicros) / CLOCKS_PER_QUARTER);
  const clocks = Array.from({ length: count }, (_, clock) => ({ atMicros: at(clock), byte: TIMING_CLOCK }));
  // One millisecond ahead, as senders do: a receiver needs time to make ready for the first clock.
  return [{ atMicros: zeroMicros - 1000, byte: START }, ...clocks, { atMicros: at(count), byte: STOP }];
}

export interface FollowedClock {
  readonly tempoBpm: number;
  /** Where the last quarter began, and how many had begun since the start, the first being 0. */
  readonly quarterAtMicros: number;
  readonly quarter: number;
}

/** Clocks looked back over: one quarter smooths the cable's jitter and still follows a change of tempo in a beat. */
const WINDOW = CLOCKS_PER_QUARTER;
/** Clocks further apart than a quarter at 10 bpm divided by 24 are two separate streams. */
const LONGEST_GAP_MICROS = 250_000;

/** Follows an incoming clock. `take` each real-time byte with its stamp. */
export class ClockFollower {
  #times: number[] = [];
  #clocks = 0;
  #running = false;

  take(byte: number, atMicros: number): void {
    if (byte === START || byte === CONTINUE) {
      if (byte === START) this.#clocks = 0;
      this.#running = true;
      this.#times = [];
    } else if (byte === STOP) {
      this.#running = false;
    } else if (byte === TIMING_CLOCK) {
      const last = this.#times.at(-1);
      if (last !== undefined && atMicros - last > LONGEST_GAP_MICROS) this.#times = [];
      this.#times.push(atMicros);
      if (this.#times.length > WINDOW + 1) this.#times.shift();
      if (this.#running) this.#clocks += 1;
    }
  }

  get running(): boolean {
    return this.#running;
  }

  /** Undefined until the clock runs and half a quarter of it has been heard. The fit is least squares over a quarter. */
  get followed(): FollowedClock | undefined {
    if (!this.#running || this.#times.length <= WINDOW / 2) return undefined;
    const { first, each } = fitLine(this.#times);
    const latest = this.#clocks - 1;
    const quarter = Math.floor(latest / CLOCKS_PER_QUARTER);
    const oldest = latest - (this.#times.length - 1);
    const quarterAtMicros = Math.round(first + (quarter * CLOCKS_PER_QUARTER - oldest) * each);
    return { tempoBpm: 60_000_000 / (each * CLOCKS_PER_QUARTER), quarterAtMicros, quarter };
  }
}

/** Least squares of evenly numbered times: where number 0 lies, and how far they are apart. */
function fitLine(times: readonly number[]): { first: number; each: number } {
  const count = times.length;
  const middle = (count - 1) / 2;
  const mean = times.reduce((sum, time) => sum + time, 0) / count;
  let across = 0;
  let square = 0;
  times.forEach((time, i) => {
    across += (i - middle) * (time - mean);
    square += (i - middle) ** 2;
  });
  const each = across / square;
  return { first: mean - middle * each, each };
}
