// How much each player is ahead or behind throughout. Players meet at different onsets when each has a part of their
// own, so that a plain mean over those who happen to be there would move whenever one who is late comes in or rests. The
// least-squares fit of "every moment has a time, every player a constant" does not: it is exact where constants are all
// that there is, whoever rests.

import type { PlayerOnsets } from './player-onsets.ts';

/**
 * Microseconds, positive = late, in the players' order. Of players who are linked by common onsets, directly or through
 * others, the mean over their onsets is 0; who shares no onset has 0.
 */
export function constantLeads(players: readonly PlayerOnsets[]): number[] {
  const { sums, meetings } = whoMet(players);
  // Normal equations, the times of the moments eliminated: a moment of k players takes 1/k of each from all of them.
  const matrix = players.map(() => players.map(() => 0));
  for (const { present, count } of meetings)
    for (const i of present) {
      matrix[i]![i]! += count;
      for (const j of present) matrix[i]![j]! -= count / present.length;
    }
  const solved = solve(matrix, sums);
  return centred(solved, players, meetings);
}

interface Meeting {
  /** Indices of players. */
  readonly present: readonly number[];
  /** Moments at which these and nobody else had an onset. */
  count: number;
}

/** Who was at moments together, and by how much each player's distances from the means of those moments add up. */
function whoMet(players: readonly PlayerOnsets[]): {
  readonly sums: number[];
  readonly meetings: readonly Meeting[];
} {
  const presentAt = new Map<number, number[]>();
  for (const [i, { onsetMicrosByTick }] of players.entries())
    for (const tick of onsetMicrosByTick.keys()) {
      const present = presentAt.get(tick);
      if (present) present.push(i);
      else presentAt.set(tick, [i]);
    }
  const sums = players.map(() => 0);
  const meetings = new Map<string, Meeting>();
  for (const [tick, present] of presentAt) {
    if (present.length < 2) continue;
    const times = present.map((i) => players[i]!.onsetMicrosByTick.get(tick)!);
    const middle = times.reduce((sum, micros) => sum + micros, 0) / times.length;
    for (const [k, i] of present.entries()) sums[i]! += times[k]! - middle;
    const key = present.join();
    const meeting = meetings.get(key);
    if (meeting) meeting.count += 1;
    else meetings.set(key, { present, count: 1 });
  }
  return { sums, meetings: [...meetings.values()] };
}

/** Less than this share of a moment left of a pivot is rounding: that player's place follows from no one. */
const LEAST_PIVOT = 1e-9;

/** Gauss-Jordan elimination; an unknown that the equations leave open is 0. Changes what it is given. */
function solve(matrix: number[][], right: number[]): number[] {
  const size = right.length;
  for (let column = 0; column < size; column += 1) {
    const own = matrix[column]!;
    const pivot = own[column]!;
    if (pivot < LEAST_PIVOT) continue;
    for (let row = 0; row < size; row += 1) {
      const factor = matrix[row]![column]! / pivot;
      if (row === column || factor === 0) continue;
      for (let k = column; k < size; k += 1) matrix[row]![k]! -= factor * own[k]!;
      right[row]! -= factor * right[column]!;
    }
  }
  return right.map((sum, i) => (matrix[i]![i]! < LEAST_PIVOT ? 0 : sum / matrix[i]![i]!));
}

/** Each group of players who are linked moved so that its mean over all onsets is 0. */
function centred(
  constants: readonly number[],
  players: readonly PlayerOnsets[],
  meetings: readonly Meeting[],
): number[] {
  const groupOf = players.map((_, i) => i);
  for (const { present } of meetings) {
    const joined = new Set(present.map((i) => groupOf[i]!));
    const group = groupOf[present[0]!]!;
    for (const [i, own] of groupOf.entries()) if (joined.has(own)) groupOf[i] = group;
  }
  return constants.map((constant, i) => {
    let [sum, onsets] = [0, 0];
    for (const [j, group] of groupOf.entries()) {
      if (group !== groupOf[i]) continue;
      const { size } = players[j]!.onsetMicrosByTick;
      sum += constants[j]! * size;
      onsets += size;
    }
    return onsets === 0 ? 0 : constant - sum / onsets;
  });
}
