// Whether players are together: onsets that belong together are compared between players, pair by pair.
// [Rasch1979] Synchronization in performed ensemble music, Acustica 43:121: a pair's asynchrony is the standard
// deviation of its onset differences, a section's the root mean square over its pairs. A constant lead or lag is no
// asynchrony and is told apart. Definition from memory; the deviation is that of the events themselves (n, not n - 1).

import { mean, median } from '../statistics.ts';
import { constantLeads } from './constant-leads.ts';
import type { PlayerOnsets } from './player-onsets.ts';

interface PairAsynchrony {
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
  /** Onsets at which others played, too. */
  readonly shared: number;
  /** Ahead or behind by what is worth a word, and more than chance. */
  readonly leads: boolean;
}

/** One moment at which several players have an onset. Constant leads are taken off: a lead is told by itself. */
interface SharedMoment {
  readonly tick: number;
  /** The two who are furthest apart, and by how much. */
  readonly first: string;
  readonly last: string;
  readonly apartMicros: number;
}

/** What a player makes of an interval against the middle of what the others make of it. */
interface SharedInterval {
  readonly fromTick: number;
  readonly toTick: number;
  /** Who departs most from the others, and by how much: positive = longer. */
  readonly player: string;
  readonly micros: number;
}

export interface Together {
  /** Pairs with two common onsets or more. */
  readonly pairs: readonly PairAsynchrony[];
  /** Root mean square over the pairs; absent without a pair. */
  readonly asynchronyMicros?: number;
  readonly players: readonly PlayerPlace[];
  /** By tick. */
  readonly moments: readonly SharedMoment[];
  /** From each shared moment to the next. */
  readonly intervals: readonly SharedInterval[];
}

/** A single difference has no spread. */
const LEAST_EVENTS = 2;

/** `standing`: where it is known already. */
export function together(players: readonly PlayerOnsets[], standing = standingOf(players)): Together {
  const pairs = players.flatMap((a, i) => players.slice(i + 1).flatMap((b) => pairOf(a, b) ?? []));
  const { constants, strikes } = standing;
  const shared = [...strikes].flatMap(([tick, all]) => (all.length > 1 ? [tick] : [])).sort((a, b) => a - b);
  return {
    pairs,
    ...(pairs.length === 0
      ? {}
      : { asynchronyMicros: Math.sqrt(mean(pairs.map((pair) => pair.asynchronyMicros ** 2))) }),
    players: placesOf(players, standing),
    moments: shared.map((tick) => momentAt(tick, players, constants)),
    intervals: shared.slice(1).flatMap((tick, i) => intervalBetween(shared[i]!, tick, players) ?? []),
  };
}

function pairOf(a: PlayerOnsets, b: PlayerOnsets): PairAsynchrony | undefined {
  const differences: number[] = [];
  for (const [tick, micros] of a.onsetMicrosByTick) {
    const other = b.onsetMicrosByTick.get(tick);
    if (other !== undefined) differences.push(micros - other);
  }
  if (differences.length < LEAST_EVENTS) return undefined;
  return {
    a: a.player,
    b: b.player,
    events: differences.length,
    leadMicros: mean(differences),
    asynchronyMicros: deviation(differences),
  };
}

/** What is known of all players when one is looked at. */
interface Standing {
  readonly constants: readonly number[];
  readonly strikes: Strikes;
}

export function standingOf(players: readonly PlayerOnsets[]): Standing {
  const constants = constantLeads(players);
  return { constants, strikes: strikesByTick(players, constants) };
}

function placesOf(players: readonly PlayerOnsets[], standing: Standing): PlayerPlace[] {
  const places = players.map((_, i) => placeOf(i, players, standing));
  // Of few onsets a player's own spread is small by chance as often as not: that of all says what is usual here.
  const usual = Math.sqrt(
    mean(places.flatMap(({ spreadMicros }) => spreadMicros ?? []).map((micros) => micros ** 2)),
  );
  return places.map((place) => ({ ...place, leads: isLead(place, usual, players.length) }));
}

/** Around the constant lead, which is that against the middle of all who share an onset with this player. */
function placeOf(
  index: number,
  players: readonly PlayerOnsets[],
  standing: Standing,
): Omit<PlayerPlace, 'leads'> {
  const one = players[index]!;
  const distances = distancesOf(one, standing.constants[index]!, standing.strikes).map(
    ({ micros }) => micros,
  );
  if (distances.length === 0) return { player: one.player, shared: 0 };
  const others = standing.constants.filter((_, i) => i !== index && meets(one, players[i]!));
  return {
    player: one.player,
    shared: distances.length,
    leadMicros: standing.constants[index]! - median(others) + mean(distances),
    spreadMicros: deviation(distances),
  };
}

/** Fewer shared onsets place nobody. */
const LEAST_SHARED = 3;
const LEAD_MICROS = 15_000;
/** Standard errors: chance passes this once in 22 takes. */
const LEAD_ERRORS = 2;

function isLead(
  { shared, leadMicros = 0, spreadMicros = 0 }: Omit<PlayerPlace, 'leads'>,
  usualSpread: number,
  players: number,
): boolean {
  if (shared < LEAST_SHARED || Math.abs(leadMicros) < LEAD_MICROS) return false;
  const error = Math.max(spreadMicros, usualSpread) / Math.sqrt(shared - 1);
  const freedom = (shared - 1) * (players - 1);
  return asNormal(Math.abs(leadMicros) / error, freedom) >= leastErrors(LEAD_ERRORS, players);
}

function meets(a: PlayerOnsets, b: PlayerOnsets): boolean {
  for (const tick of a.onsetMicrosByTick.keys()) if (b.onsetMicrosByTick.has(tick)) return true;
  return false;
}

/** How far a player was from the middle of the others, wherever one of them played, too; constant leads taken off. */
function distancesOf(
  { onsetMicrosByTick }: PlayerOnsets,
  constant: number,
  strikes: Strikes,
): { readonly tick: number; readonly micros: number }[] {
  return [...onsetMicrosByTick].flatMap(([tick, micros]) => {
    const all = strikes.get(tick)!;
    const own = micros - constant;
    return all.length < 2 ? [] : [{ tick, micros: own - medianOfOthers(all, own) }];
  });
}

/** When all who had an onset on a tick struck it, earliest first; constant leads taken off. */
type Strikes = ReadonlyMap<number, readonly number[]>;

function strikesByTick(players: readonly PlayerOnsets[], constants: readonly number[]): Strikes {
  const strikes = new Map<number, number[]>();
  for (const [i, { onsetMicrosByTick }] of players.entries())
    for (const [tick, micros] of onsetMicrosByTick) {
      const all = strikes.get(tick);
      if (all) all.push(micros - constants[i]!);
      else strikes.set(tick, [micros - constants[i]!]);
    }
  for (const all of strikes.values()) all.sort((x, y) => x - y);
  return strikes;
}

/** The median of all rising values except one. */
function medianOfOthers(rising: readonly number[], own: number): number {
  const at = rising.indexOf(own);
  const other = (i: number) => rising[i < at ? i : i + 1]!;
  const count = rising.length - 1;
  const half = count >> 1;
  return count % 2 === 1 ? other(half) : (other(half - 1) + other(half)) / 2;
}

function momentAt(
  tick: number,
  players: readonly PlayerOnsets[],
  constants: readonly number[],
): SharedMoment {
  const at = players.flatMap(({ player, onsetMicrosByTick }, i) => {
    const micros = onsetMicrosByTick.get(tick);
    return micros === undefined ? [] : [{ player, micros: micros - constants[i]! }];
  });
  at.sort((a, b) => a.micros - b.micros);
  const [first, last] = [at[0]!, at.at(-1)!];
  return { tick, first: first.player, last: last.player, apartMicros: last.micros - first.micros };
}

/** Undefined where fewer than two players have both ends. */
function intervalBetween(
  fromTick: number,
  toTick: number,
  players: readonly PlayerOnsets[],
): SharedInterval | undefined {
  const lengths = players.flatMap(({ player, onsetMicrosByTick }) => {
    const [from, to] = [onsetMicrosByTick.get(fromTick), onsetMicrosByTick.get(toTick)];
    return from === undefined || to === undefined ? [] : [{ player, micros: to - from }];
  });
  if (lengths.length < 2) return undefined;
  const rising = lengths.map(({ micros }) => micros).sort((a, b) => a - b);
  const departures = lengths.map(({ player, micros }) => ({
    player,
    micros: micros - medianOfOthers(rising, micros),
  }));
  const most = departures.reduce((a, b) => (Math.abs(b.micros) > Math.abs(a.micros) ? b : a));
  return { fromTick, toTick, ...most };
}

/** A steady change over a take: how much in all, and whether that is more than chance and the ear would pass over. */
interface Drift {
  /** From the first onset to the last: negative = ahead of where it began. */
  readonly microsInAll: number;
  readonly sure: boolean;
}

/** Who pulls the tempo. */
export interface Pulling {
  /** The section as a whole against the asked tempo. Absent where too little was played. */
  readonly all?: Drift;
  /** Each player against the others: one who rushes alone departs from them, all who rush together do not. */
  readonly players: readonly (Drift & { readonly player: string })[];
}

/** Fewer onsets do not show a direction. */
const LEAST_FOR_DRIFT = 4;
/** Two onsets closer than this are heard as one (order told in 3 of 4 cases at 22 ms: Sapp 2005). */
const HEARD_MICROS = 22_000;
/** Standard errors of a normal distribution: chance passes this once in 370 takes. */
const SURE_ERRORS = 3;

/** `placeMicros`: when a tick was asked for. `standing`: where it is known already. */
export function pulling(
  players: readonly PlayerOnsets[],
  placeMicros: (tick: number) => number,
  { constants, strikes } = standingOf(players),
): Pulling {
  const own = players.flatMap((one, i) => {
    const points = distancesOf(one, constants[i]!, strikes).map(({ tick, micros }) => ({
      x: placeMicros(tick),
      y: micros,
    }));
    const drift = driftOf(points, players.length);
    return drift ? [{ player: one.player, ...drift }] : [];
  });
  const middle = [...strikes].map(([tick, all]) => ({
    x: placeMicros(tick),
    y: median(all) - placeMicros(tick),
  }));
  const all = driftOf(middle, 1);
  return { ...(all ? { all } : {}), players: own };
}

/** Least squares, with the standard error of the slope. `chances`: of so many one may drift by chance. */
function driftOf(
  points: readonly { readonly x: number; readonly y: number }[],
  chances: number,
): Drift | undefined {
  if (points.length < LEAST_FOR_DRIFT) return undefined;
  const x = mean(points.map((point) => point.x));
  const y = mean(points.map((point) => point.y));
  const across = points.reduce((sum, point) => sum + (point.x - x) ** 2, 0);
  if (across === 0) return undefined;
  const slope = points.reduce((sum, point) => sum + (point.x - x) * (point.y - y), 0) / across;
  const left = points.reduce((sum, point) => sum + (point.y - y - slope * (point.x - x)) ** 2, 0);
  const freedom = points.length - 2;
  const error = Math.sqrt(left / freedom / across);
  const length = Math.max(...points.map((point) => point.x)) - Math.min(...points.map((point) => point.x));
  const microsInAll = slope * length;
  return {
    microsInAll,
    sure:
      Math.abs(microsInAll) >= HEARD_MICROS &&
      asNormal(Math.abs(slope) / error, freedom) >= leastErrors(SURE_ERRORS, chances),
  };
}

/**
 * The standard errors of a normal distribution that are as rare as `t` of Student's: from few onsets a slope looks sure
 * much more often. Within 4 % from two degrees of freedom on, and never more than it is ([Wallace1959], from memory).
 */
function asNormal(t: number, freedom: number): number {
  return ((8 * freedom + 1) / (8 * freedom + 3)) * Math.sqrt(freedom * Math.log1p(t ** 2 / freedom));
}

/** So that one of `chances` passes it as seldom as one alone passes `errors`; the tail falls as exp(-z squared / 2). */
function leastErrors(errors: number, chances: number): number {
  return Math.sqrt(errors ** 2 + 2 * Math.log(chances));
}

function deviation(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(mean(values.map((value) => (value - middle) ** 2)));
}
