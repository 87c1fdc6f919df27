// Players who listen to one another: first-order linear phase correction. [Wing2014] Wing, Endo, Bradbury & Vorberg,
// J R Soc Interface 11:20131125: t_i(n+1) = t_i(n) + T_i - sum over j of alpha_ij (t_i(n) - t_j(n)) + noise. The form
// of the equation is from memory. Every player hears every other late by the delay between them.

import type { Random } from './random.ts';

export interface CoupledPlayer {
  /** The interval that the player keeps alone. */
  readonly intervalMicros: number;
  /** Standard deviation of the timekeeper and of the fingers (Wing & Kristofferson 1973). */
  readonly clockSdMicros: number;
  readonly motorSdMicros: number;
  /** What share of the distance to each other player is made up by the next onset, in the players' order. */
  readonly gains: readonly number[];
  /** A constant displacement of all that this player sends. */
  readonly offsetMicros: number;
}

export interface Coupling {
  readonly players: readonly CoupledPlayer[];
  /** How late players hear one another, one way. */
  readonly delayMicros: number;
  readonly onsets: number;
}

/** Onset times in microseconds, a list for each player; all begin together. */
export function playCoupled({ players, delayMicros, onsets }: Coupling, random: Random): number[][] {
  // The timekeepers' times; what sounds has the fingers' delay and the offset on top, and is what the others hear.
  let kept = players.map(() => 0);
  const sounded: number[][] = players.map(() => []);
  for (let n = 0; n < onsets; n++) {
    players.forEach((player, i) => {
      sounded[i]!.push(kept[i]! + player.offsetMicros + random.normal(0, player.motorSdMicros));
    });
    kept = players.map((player, i) => {
      const correction = players.reduce((sum, _, j) => {
        if (j === i) return sum;
        return sum + (player.gains[j] ?? 0) * (sounded[i]![n]! - (sounded[j]![n]! + delayMicros));
      }, 0);
      return kept[i]! + player.intervalMicros - correction + random.normal(0, player.clockSdMicros);
    });
  }
  return sounded.map((times) => times.map(Math.round));
}
