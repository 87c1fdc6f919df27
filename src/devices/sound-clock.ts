// Where the session's clock stands on the audio clock. The audio clock counts samples of another crystal, is seen in
// blocks, always a little late, and stands still when the device runs dry. The smallest difference among the latest
// looks is the best; the handed-out one moves towards it so slowly that no ear hears it, or at once when it is far off.

/**
 * Looks kept: at one every 10 ms, two and a half seconds. A starved device fills its buffer in fits; only where it is
 * full does its clock stand where the sound is, and that must have been seen.
 */
const LOOKS = 256;
/**
 * Looks closer together than this count as one. Before every sound the thread spins and looks thousands of times in a
 * millisecond: those would push out all others, and where in its block the device is just then would be taken for its
 * place.
 */
const LOOK_MICROS = 5000;
/** Looks before the first click may be placed: every usual block size has shown its edge. */
const SETTLED_LOOKS = 64;
/** A third of a second. */
const RECENT_LOOKS = 32;
/** No buffer of ours is so long: when even the best recent look is so much later than before, the sound stood still. */
const HOLE_MICROS = 30_000;
/** 0.1 %: half a millisecond in a beat at 120. */
const SLEW_PPM = 1000;
/** Further off than this is a hole in the sound, not drift. */
const JUMP_MICROS = 4000;

export class SoundClock {
  readonly #seen: number[] = [];
  #looks = 0;
  /** When the latest counted look was begun. */
  #beganMicros = Number.NEGATIVE_INFINITY;
  #lookedMicros = 0;
  #offset = 0;

  /** True when enough has been seen to place a click. */
  get settled(): boolean {
    return this.#looks >= SETTLED_LOOKS;
  }

  /** One look: the session's time and the audio clock's, microseconds. */
  look(nowMicros: number, audioMicros: number): void {
    const seen = nowMicros - audioMicros;
    if (nowMicros - this.#beganMicros >= LOOK_MICROS) {
      this.#seen[this.#looks % LOOKS] = seen;
      this.#looks += 1;
      this.#beganMicros = nowMicros;
      this.#forgetBeforeHole();
    } else {
      const latest = (this.#looks - 1) % LOOKS;
      this.#seen[latest] = Math.min(this.#seen[latest]!, seen);
    }
    const wanted = Math.min(...this.#seen) - this.#offset;
    const most = ((nowMicros - this.#lookedMicros) * SLEW_PPM) / 1e6;
    this.#lookedMicros = nowMicros;
    const atOnce = !this.settled || Math.abs(wanted) > JUMP_MICROS;
    this.#offset += atOnce ? wanted : Math.max(-most, Math.min(most, wanted));
  }

  #forgetBeforeHole(): void {
    if (this.#looks < RECENT_LOOKS) return;
    const slots = Array.from({ length: RECENT_LOOKS }, (_, i) => (this.#looks - 1 - i) % LOOKS);
    const recent = Math.min(...slots.map((slot) => this.#seen[slot]!));
    if (recent - Math.min(...this.#seen) > HOLE_MICROS) this.#seen.fill(recent);
  }

  /** The audio clock's time of a moment of the session's, seconds; may be negative for moments before it began. */
  secondsOf(atMicros: number): number {
    return (atMicros - this.#offset) / 1e6;
  }
}
