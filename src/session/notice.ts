// What is told to the player beside the verdict, and stays on the screen until the next one. The words are made where
// it is shown.

import type { AdvisedFault } from './repeated-fault.ts';
import type { RestMinutes } from './rest.ts';
import type { ShiftSeen } from './shift-offer.ts';

/** How an instrument seems to be set; `player`: among several, by name. */
interface PlayerShift {
  readonly shift: ShiftSeen;
  readonly player?: string;
}

export type Notice =
  /** Somebody else's words: a device's trouble, or what the one who made the plan has to say. */
  | { readonly kind: 'passed-on'; readonly text: string }
  /** The same fault has come again and again. */
  | { readonly kind: 'repeated'; readonly fault: AdvisedFault; readonly drill: string }
  /** So many takes in a row were not clean; `onLowestRung`: and the ladder cannot go down any further. */
  | { readonly kind: 'misses'; readonly takes: number; readonly onLowestRung: boolean }
  /** The passes are played, but at the player's own tempo and not at the rung's. */
  | { readonly kind: 'clean-off-rung'; readonly takes: number; readonly rungBpm: number }
  /** The instrument seems to be set otherwise. */
  | ({ readonly kind: 'shift' } & PlayerShift)
  /** What was offered has been taken: from now on this is right. */
  | { readonly kind: 'shift-taken'; readonly shifts: readonly PlayerShift[] }
  /** Among several: nobody waits for them any more. */
  | { readonly kind: 'left-out'; readonly players: readonly string[] }
  /** Among several: there is nothing of theirs to hear. */
  | { readonly kind: 'rests'; readonly player: string }
  | { readonly kind: 'rest'; readonly minutes: RestMinutes }
  /** How the drill is practised. */
  | { readonly kind: 'practice'; readonly drill: string }
  | { readonly kind: 'nothing-to-replay' };
