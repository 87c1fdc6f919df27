// Which takes of stations can be put together: those at one tempo of the same music. Parts have landings of their own, so
// that one's run may be another's and half of the next: a longer take is compared over what it has of a shorter one.

import { grouped } from '../music/grouped.ts';

export interface StepPlayed {
  readonly player: string;
  readonly drill: string;
  readonly stepName: string;
  readonly tempoBpm: number;
  /** Of its onsets in the passage, rising; never empty. */
  readonly ticks: readonly number[];
  /** When it was played, in words that sort by time. */
  readonly date: string;
}

export interface SharedStep<T extends StepPlayed> {
  readonly drill: string;
  readonly stepName: string;
  readonly tempoBpm: number;
  /** One of each player, two or more. */
  readonly takes: readonly T[];
}

export interface Comparable<T extends StepPlayed> {
  /** That of the latest take last. */
  readonly shared: readonly SharedStep<T>[];
  /** Nobody else has enough of the same music at the same tempo. */
  readonly alone: readonly T[];
}

/** @param takes At most one of each player and step, in the order in which players are to be told. */
export function comparable<T extends StepPlayed>(takes: readonly T[]): Comparable<T> {
  const players = [...new Set(takes.map(({ player }) => player))];
  const steps = [...grouped(takes, nameOf).values()].map((own) => ({ own, ...reachOf(own) }));
  const shared = steps.flatMap(({ own, fromTick, toTick }) => {
    const { drill, stepName, tempoBpm } = own[0]!;
    const longer = steps
      .filter((one) => one.own[0]!.tempoBpm === tempoBpm && one.fromTick <= fromTick && one.toTick >= toTick)
      .sort((a, b) => a.toTick - a.fromTick - (b.toTick - b.fromTick));
    const ofPlayer = (name: string) =>
      own.find(({ player }) => player === name) ??
      longer
        .flatMap((one) => one.own)
        .find((take) => take.player === name && own.some((other) => haveInCommon(take, other)));
    const all = players.flatMap((name) => ofPlayer(name) ?? []);
    return all.length > 1 ? [{ drill, stepName, tempoBpm, takes: all }] : [];
  });
  const told = new Set(shared.flatMap((one) => one.takes));
  return {
    shared: shared.sort((a, b) => (latestOf(a) < latestOf(b) ? -1 : 1)),
    alone: takes.filter((take) => !told.has(take)),
  };
}

function nameOf({ drill, stepName, tempoBpm }: StepPlayed): string {
  return JSON.stringify([drill, stepName, tempoBpm]);
}

/** A step of this name is the same for all, also for a part that rests at its ends. */
function reachOf(own: readonly StepPlayed[]): { readonly fromTick: number; readonly toTick: number } {
  return {
    fromTick: Math.min(...own.map(({ ticks }) => ticks[0]!)),
    toTick: Math.max(...own.map(({ ticks }) => ticks.at(-1)!)),
  };
}

/** One onset says who was first there and nothing else. */
const LEAST_IN_COMMON = 2;

function haveInCommon(one: StepPlayed, other: StepPlayed): boolean {
  return one.ticks.filter((tick) => other.ticks.includes(tick)).length >= LEAST_IN_COMMON;
}

function latestOf({ takes }: SharedStep<StepPlayed>): string {
  return takes
    .map(({ date }) => date)
    .sort()
    .at(-1)!;
}
