// The real clock. Monotonic integer microseconds with the machine's own origin, so that every thread of the process
// reads the same time; it never jumps when the calendar is set, and on most systems it stands still while the machine
// sleeps (sleep-watch.ts looks for that).

import type { Clock } from '../ports/clock.ts';

/** Integer microseconds, the same in the main thread and in workers. */
export function monotonicMicros(): number {
  const [seconds, nanos] = process.hrtime();
  return seconds * 1_000_000 + Math.floor(nanos / 1000);
}

/** Longest delay setTimeout takes (2^31 - 1 ms); anything longer it would fire at once. */
const LONGEST_DELAY_MS = 2_147_483_647;

/** Later than this is no timer's fault. */
const STALLED_MICROS = 2_000;

export class SystemClock implements Clock {
  nowMicros(): number {
    return monotonicMicros();
  }

  date(): Date {
    return new Date();
  }

  wakeAt(atMicros: number, callback: () => void): () => void {
    let cancel = () => {};
    const wait = () => {
      const leftMicros = atMicros - monotonicMicros();
      if (leftMicros >= 1000) {
        // Timers count whole milliseconds and may fire a little early: sleep short, look again.
        const timer = setTimeout(look, Math.min(Math.floor(leftMicros / 1000), LONGEST_DELAY_MS));
        cancel = () => clearTimeout(timer);
      } else {
        const turn = setImmediate(look);
        cancel = () => clearImmediate(turn);
      }
    };
    const look = () => {
      const lateMicros = monotonicMicros() - atMicros;
      if (lateMicros < 0) return wait();
      if (lateMicros < STALLED_MICROS) return callback();
      // The thread was held up: what came in meanwhile (stamped earlier) is to be heard first.
      const turn = setImmediate(callback);
      cancel = () => clearImmediate(turn);
    };
    wait();
    return () => cancel();
  }
}
