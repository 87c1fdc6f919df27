// Two clocks: monotonic microseconds for playing, calendar time for the practice record only.

export interface Clock {
  /** Integer microseconds, monotonic, arbitrary origin. */
  nowMicros(): number;
  /** Calendar time, for the practice record. */
  date(): Date;
  /**
   * Calls back once, at `atMicros` or as soon after as possible; at once (but never before returning) when it is past.
   * Returns a function that cancels it.
   */
  wakeAt(atMicros: number, callback: () => void): () => void;
}
