// The options of `steps` and `work` as they were typed.

import type { PassageOptions } from './passage-argument.ts';

export interface DrillOptions extends PassageOptions {
  readonly tempo?: string;
  readonly drill?: string;
  readonly snag?: string;
  readonly every?: string;
  readonly hold?: string;
  readonly note?: string;
  readonly variant?: string;
  readonly pulse?: string;
  readonly keywork?: string;
}

export interface SessionOptions extends DrillOptions {
  readonly tolerance?: string;
  readonly touch?: 'even';
  readonly passes?: string;
  readonly ladder?: string;
  readonly up?: string;
  /** Every step climbs a ladder of its own. */
  readonly stepByStep?: boolean;
  readonly jump?: boolean;
  readonly alternate?: boolean;
  /** From the beginning: not at the step, nor on the rung, where it was left. */
  readonly afresh?: boolean;
  readonly pedal?: string;
  readonly control?: readonly string[];
  readonly quiet?: boolean;
  /** Of playing; then it ends. */
  readonly minutes?: string;
  /** Whose takes these are. */
  readonly player?: string;
}
