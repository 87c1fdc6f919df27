// Whether players are together: onsets that belong together are compared between players, pair by pair.
// [Rasch1979] Synchronization in performed ensemble music, Acustica 43:121: a pair's asynchrony is the standard
// deviation of its onset differences, a section's the root mean square over its pairs. A constant lead or lag is no
// asynchrony and is told apart. Definition from memory; the deviation is that of the events themselves (n, not n - 1).

import { mean, median } from '../statistics.ts';

/** When one player's onsets came, by what belongs together: the tick in the music. A known lag is taken off already. */
export interface PlayerOnsets {
  readonly player: string;
  readonly onsetMicrosByTick: ReadonlyMap<number, number>;
}

export interface PairAsynchrony {
  readonly a: string;
  readonly b: string;
  /** Onsets that both played rightly. */
  readonly events: number;
  /** Mean of a minus b: positive where a is the later. */
  readonly leadMicros: number;
  /** Standard deviation of the differences. */
  readonly asynchronyMicros: number;
}

export interface PlayerPlace {
  readonly player: string;
  /** Mean distance from the middle of the others at the same onsets: positive = late. Undefined where alone throughout. */
  readonly leadMicros?: number;
  /** Standard deviation of that distance. */
  readonly spreadMicros?: number;
}

export interface Together {
  /** Pairs with two common onsets or more. */
  readonly pairs: readonly PairAsynchrony[];
  /** Root mean square over the pairs; absent without a pair. */
  readonly asynchronyMicros?: number;
  readonly players: readonly PlayerPlace[];
}

/** One difference says nothing of its spread. */
const LEAST_EVENTS = 2;

export function together(players: readonly PlayerOnsets[]): Together {
  const pairs = players.flatMap((a, i) =>
    players.slice(i + 1).flatMap((b) => {
      const differences = commonTicks(a, b).map((tick) => at(a, tick) - at(b, tick));
      if (differences.length < LEAST_EVENTS) return [];
      const pair: PairAsynchrony = {
        a: a.player,
        b: b.player,
        events: differences.length,
        leadMicros: mean(differences),
        asynchronyMicros: deviation(differences),
      };
      return [pair];
    }),
  );
  return {
    pairs,
    ...(pairs.length === 0
      ? {}
      : { asynchronyMicros: Math.sqrt(mean(pairs.map((pair) => pair.asynchronyMicros ** 2))) }),
    players: players.map((one) => placeOf(one, players)),
  };
}

function placeOf(one: PlayerOnsets, players: readonly PlayerOnsets[]): PlayerPlace {
  const others = players.filter((other) => other !== one);
  const distances = [...one.onsetMicrosByTick].flatMap(([tick, micros]) => {
    const theirs = others.flatMap((other) => other.onsetMicrosByTick.get(tick) ?? []);
    return theirs.length === 0 ? [] : [micros - median(theirs)];
  });
  if (distances.length === 0) return { player: one.player };
  return { player: one.player, leadMicros: mean(distances), spreadMicros: deviation(distances) };
}

/** Who pulls: the change of tempo that a player makes against the others, and that all make together. */
export interface Pull {
  readonly player: string;
  /** Change of the player's distance from the middle of the others, microseconds an onset: negative = hurries. */
  readonly microsPerOnset: number;
}

/** Least-squares slopes over the onsets that a player shares with others; players with fewer than three have none. */
export function pulls(players: readonly PlayerOnsets[]): Pull[] {
  const ticks = [...new Set(players.flatMap((one) => [...one.onsetMicrosByTick.keys()]))].sort(
    (a, b) => a - b,
  );
  const order = new Map(ticks.map((tick, i) => [tick, i]));
  return players.flatMap((one) => {
    const others = players.filter((other) => other !== one);
    const points = [...one.onsetMicrosByTick].flatMap(([tick, micros]) => {
      const theirs = others.flatMap((other) => other.onsetMicrosByTick.get(tick) ?? []);
      return theirs.length === 0 ? [] : [{ x: order.get(tick)!, y: micros - median(theirs) }];
    });
    return points.length < 3 ? [] : [{ player: one.player, microsPerOnset: slope(points) }];
  });
}

function slope(points: readonly { readonly x: number; readonly y: number }[]): number {
  const x = mean(points.map((point) => point.x));
  const y = mean(points.map((point) => point.y));
  const across = points.reduce((sum, point) => sum + (point.x - x) ** 2, 0);
  return points.reduce((sum, point) => sum + (point.x - x) * (point.y - y), 0) / across;
}

function commonTicks(a: PlayerOnsets, b: PlayerOnsets): number[] {
  return [...a.onsetMicrosByTick.keys()].filter((tick) => b.onsetMicrosByTick.has(tick));
}

function at(one: PlayerOnsets, tick: number): number {
  return one.onsetMicrosByTick.get(tick)!;
}

function deviation(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(mean(values.map((value) => (value - middle) ** 2)));
}
