// The pulse shared with other machines: told every take as it is planned, and every silence.

import type { Prompt } from './player-source.ts';

export interface PulsePort {
  /** A take has been planned, as its players are told. Told once for each of several players, it is one take. */
  lead(prompt: Prompt): void;
  /** The click stops at a time: so does the pulse. */
  silenceFrom(atMicros: number): void;
  close(): Promise<void>;
}
