// When a note was played, from the driver's own deltas. The deltas are added up on one anchor; the time of the callback
// says only "not later than now", so the anchor follows the smallest difference between the two. What the driver does
// (measured with RtMidi 6 over ALSA): the first delta after opening means nothing; deltas are good to 0.1 ms and stay
// true when the callbacks come late in a burst; small negative ones occur; a large negative one can follow reopening.
// Make a new MidiStamps at every open. Times are integer microseconds on the session's clock.

import { OffsetFollower } from './offset-follower.ts';

/** No correction inside playing moves an interval by more than 0.05 % of itself: 0.5 ms in a second. */
const SLEW_PPM = 500;
/** Crystals differ by less than 100 ppm; twice that, for drivers that count in coarse steps. */
const CREEP_PPM = 200;
/** After a silence this long no interval is judged across, so the anchor may move freely. */
const SILENCE_MICROS = 4_000_000;
/** A stamp this far ahead of its callback is wrong and is put right at once: the first callback had been held up. */
const AHEAD_MICROS = 10_000;
/** A callback this much later than its stamp means that the driver's count lost time. */
const BEHIND_MICROS = 2_000_000;
/** Deltas more negative than this are left-overs of an earlier opening, not jitter. */
const JITTER_MICROS = 10_000;

export class MidiStamps {
  #driverMicros = 0;
  #first = true;
  #last = Number.NEGATIVE_INFINITY;
  readonly #follower = new OffsetFollower({
    creepPpm: CREEP_PPM,
    slewPpm: SLEW_PPM,
    jumpMicros: AHEAD_MICROS,
  });

  /**
   * The stamp of one delivered message. Call it for every message in order, also for those that are then dropped.
   * Never before the stamp of the message before; at most 10 ms after `callbackMicros`.
   * @param deltaSeconds the driver's, since the message before
   */
  stamp(deltaSeconds: number, callbackMicros: number): number {
    const delta = this.#first ? 0 : saneDelta(deltaSeconds * 1e6);
    this.#first = false;
    this.#driverMicros += delta;
    const seen = callbackMicros - this.#driverMicros;
    const known = this.#follower.offsetMicros;
    if (known !== undefined && seen - known > BEHIND_MICROS) this.#follower.restart();
    const offset = this.#follower.look(seen, {
      elapsedMicros: Math.max(0, delta),
      free: delta >= SILENCE_MICROS,
    });
    this.#last = Math.max(this.#last, Math.round(this.#driverMicros + offset));
    return this.#last;
  }
}

function saneDelta(micros: number): number {
  return Number.isFinite(micros) && micros >= -JITTER_MICROS ? micros : 0;
}
