// Follows the offset between two clocks when it can only be seen from one side: every look at the other clock comes
// late by an unknown amount, never early. So the smallest offset seen is the best; it may creep up slowly, because the
// clocks drift. What is handed out moves slowly too (it is slewed), so that a correction never shows as a badly played
// interval. All times in microseconds.

export interface OffsetFollowing {
  /** How much the offset may really rise, parts per million of the time gone by. */
  readonly creepPpm: number;
  /** How fast the handed-out offset may move towards the best, parts per million of the time gone by. */
  readonly slewPpm: number;
  /** A best offset further below the handed-out one than this is taken at once: a gross error, not drift. */
  readonly jumpMicros: number;
}

export class OffsetFollower {
  readonly #following: OffsetFollowing;
  #best: number | undefined;
  #offset = 0;

  constructor(following: OffsetFollowing) {
    this.#following = following;
  }

  /** Undefined before the first look. */
  get offsetMicros(): number | undefined {
    return this.#best === undefined ? undefined : this.#offset;
  }

  /**
   * One look: `seenMicros` = this side's time of looking minus the other side's time, never below the true offset;
   * `elapsedMicros` since the last look. With `free`, the offset may move at once: nothing is measured across.
   */
  look(seenMicros: number, { elapsedMicros, free }: { elapsedMicros: number; free: boolean }): number {
    const { creepPpm, slewPpm, jumpMicros } = this.#following;
    if (this.#best === undefined) {
      this.#best = seenMicros;
      this.#offset = seenMicros;
      return this.#offset;
    }
    this.#best = Math.min(seenMicros, this.#best + (elapsedMicros * creepPpm) / 1e6);
    const wanted = this.#best - this.#offset;
    const most = (elapsedMicros * slewPpm) / 1e6;
    this.#offset += free || wanted < -jumpMicros ? wanted : Math.max(-most, Math.min(most, wanted));
    return this.#offset;
  }

  /** Forgets everything; the next look starts anew. */
  restart(): void {
    this.#best = undefined;
  }
}
