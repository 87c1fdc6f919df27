// The pulse shared with other machines: told every take as it is planned, and every silence.

import type { Prompt } from './player-source.ts';

export interface PulsePort {
  /** A take has been planned, as its players are told. Told once for each of several players, it is one take. */
  lead(prompt: Prompt): void;
  /** The click stops at a time: so does the pulse. */
  silenceFrom(atMicros: number): void;
  close(): Promise<void>;
}

/** Another machine's pulse as it runs now. */
export interface FollowedPulse {
  /** Quarter notes a minute. */
  readonly quarterBpm: number;
  /** Where a quarter began, and its number since the start, the first being 0. */
  readonly quarterAtMicros: number;
  readonly quarter: number;
}

/** A pulse that comes from another machine. */
export interface PulseSource {
  readonly name: string;
  /** Reports every quarter, and undefined when the pulse stops. */
  start(report: (pulse: FollowedPulse | undefined, at: number) => void): void;
  close(): Promise<void>;
}
