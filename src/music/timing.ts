// When a tick is: the one place where a tempo and the changes of tempo in the music become played time. A change is kept
// in proportion to the tempo asked, so that a passage which slows down does so at any tempo.

import type { Passage } from './passage.ts';
import { microsPerTick, microsToTicks, type Tempo, ticksToMicros } from './tempo.ts';

/** From a tick on the music goes so many times as fast as the tempo asked. */
export interface PaceChange {
  readonly fromTick: number;
  /** Over 0; 0.5 is half as fast. */
  readonly ratio: number;
}

/** A tempo asked for, and how the music departs from it. */
export interface Timing {
  readonly tempo: Tempo;
  /** By tick, the first one also for all that is before it; absent: the tempo asked throughout. */
  readonly paces?: readonly PaceChange[];
}

/** Played time from one tick to another, rounded to the nearest microsecond. */
export function microsBetween(timing: Timing, fromTick: number, toTick: number): number {
  const { tempo, paces } = timing;
  if (!paces) return ticksToMicros(toTick - fromTick, tempo);
  return Math.round((evenTicks(paces, toTick) - evenTicks(paces, fromTick)) * microsPerTick(tempo));
}

/** Played time from tick 0. */
export function microsAt(timing: Timing, tick: number): number {
  return microsBetween(timing, 0, tick);
}

/** The tick at a played time from tick 0, rounded to the nearest; the inverse of microsAt. */
export function tickAt({ tempo, paces }: Timing, micros: number): number {
  if (!paces) return microsToTicks(micros, tempo);
  const even = evenTicks(paces, 0) + micros / microsPerTick(tempo);
  const last = paces.findLast(({ fromTick }) => evenTicks(paces, fromTick) <= even) ?? paces[0]!;
  return Math.round(last.fromTick + (even - evenTicks(paces, last.fromTick)) * last.ratio);
}

/** Beats a minute where a tick is. */
export function bpmAt({ tempo, paces }: Timing, tick: number): number {
  if (!paces) return tempo.bpm;
  return tempo.bpm * (paces.findLast(({ fromTick }) => fromTick <= tick) ?? paces[0]!).ratio;
}

/** Ticks at the tempo asked that last as long as the music does from its first change to a tick. */
function evenTicks(paces: readonly PaceChange[], tick: number): number {
  let even = 0;
  for (const [i, { fromTick, ratio }] of paces.entries()) {
    const next = paces[i + 1];
    const to = next ? Math.min(tick, next.fromTick) : tick;
    // Before the first change its own pace holds.
    if (i === 0 || to > fromTick) even += (to - fromTick) / ratio;
    if (to === tick) break;
  }
  return even;
}

/** The tempo that is written where a tick is. */
export function tempoAt({ tempo, tempoChanges }: Passage, tick: number): Tempo {
  return tempoChanges.findLast((change) => change.tick <= tick)?.tempo ?? tempo;
}

/** A fermata is a wait: its note lasts as long again. Common practice, no source. */
const FERMATA_RATIO = 0.5;

/**
 * How the music between two ticks departs from the tempo asked, which is that of `askedTick`; undefined where it does
 * not. What is counted before `fromTick` is counted as fast as the music goes there, what is held after `toTick` as there.
 */
export function pacesOf(
  passage: Passage,
  {
    askedTick,
    fromTick,
    toTick,
  }: { readonly askedTick: number; readonly fromTick: number; readonly toTick: number },
): readonly PaceChange[] | undefined {
  const speed = (tick: number) => 1 / microsPerTick(tempoAt(passage, tick));
  const asked = speed(askedTick);
  const changes = passage.tempoChanges.map(({ tick }) => tick);
  const played = passage.onsets.filter(({ tick }) => tick >= fromTick && tick < toTick);
  const waits = played.flatMap(({ tick, notes }) => {
    const held = notes.filter(({ articulations }) => articulations?.includes('fermata'));
    const end = tick + Math.max(0, ...held.map(({ durationTicks }) => durationTicks));
    return held.length > 0 ? [{ tick, end }] : [];
  });
  const inside = [...changes, ...waits.flatMap(({ tick, end }) => [tick, end])].filter(
    (tick) => tick > fromTick && tick <= toTick,
  );
  const ticks = [...new Set([fromTick, ...inside])].sort((a, b) => a - b);
  const paces = ticks.map((tick) => {
    const waiting = waits.some((wait) => wait.tick <= tick && tick < wait.end);
    return { fromTick: tick, ratio: (speed(tick) / asked) * (waiting ? FERMATA_RATIO : 1) };
  });
  return paces.every(({ ratio }) => ratio === 1) ? undefined : paces;
}
