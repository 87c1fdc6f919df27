// Bars, keys and tempos of a MIDI file, in our ticks. A MIDI file has no pickup and no irregular bars, so: a first bar
// of at most half the meter that follows at once is a pickup, and a meter event inside a bar ends it there.

import { type Bar, barTicks, beatTicks, type Meter } from '../../music/meter.ts';
import type { KeyChange, TempoChange } from '../../music/passage.ts';
import type { Tempo } from '../../music/tempo.ts';
import { TICKS_PER_QUARTER } from '../../music/ticks.ts';
import { shiftFifths } from '../../music/transposition.ts';
import type { IssueList } from '../reading.ts';

export interface MeterMark {
  readonly tick: number;
  readonly meter: Meter;
}

/** More is no passage; a damaged delta time can make millions. */
export const MOST_BARS = 10_000;

const COMMON_TIME: Meter = { count: 4, unit: 4 };

/** Bars from tick 0 to the end of the one that holds `endTick`; at least one. */
export function barsOf(
  marks: readonly MeterMark[],
  endTick: number,
  issues: IssueList,
  pickupSaid = false,
): Bar[] {
  const meters = marks.filter((mark, i) => {
    const next = marks[i + 1];
    return !next || next.tick > mark.tick;
  });
  if (meters[0]?.tick !== 0) meters.unshift({ tick: 0, meter: COMMON_TIME });
  const bars: Bar[] = [];
  const pickup = isPickup(meters, pickupSaid);
  let number = pickup ? 0 : 1;
  let at = 0;
  let m = 0;
  while ((at < endTick && bars.length <= MOST_BARS) || bars.length === 0) {
    while (meters[m + 1] && meters[m + 1]!.tick <= at) m++;
    const { meter } = meters[m]!;
    const next = meters[m + 1]?.tick ?? Number.POSITIVE_INFINITY;
    const whole = barTicks(meter);
    const durationTicks = Math.min(whole, next - at);
    if (pickup && bars.length === 0) {
      bars.push({ number, startTick: at, durationTicks, meter: meters[1]!.meter, pickup: true });
    } else {
      if (durationTicks < whole) {
        issues.warn('bar.length', `bar ${number} is cut short by a change of meter`, { bar: number });
      }
      bars.push({ number, startTick: at, durationTicks, meter, pickup: false });
    }
    at += durationTicks;
    number++;
  }
  return bars;
}

/** Where the file does not say so, only up to half a bar: 3/4 before 4/4 is more likely a change of meter. */
function isPickup([first, second]: readonly MeterMark[], said: boolean): boolean {
  if (!first || !second || second.tick !== barTicks(first.meter)) return false;
  return second.tick < barTicks(second.meter) && (said || 2 * second.tick <= barTicks(second.meter));
}

/**
 * Beats a minute for microseconds a quarter, in the beat of a meter: the roundest number that gives these
 * microseconds, since files round them (90 to the minute is 666,666).
 */
export function tempoOf(microsPerQuarter: number, meter: Meter): Tempo {
  const beat = beatTicks(meter);
  const exact = (60_000_000 * TICKS_PER_QUARTER) / (microsPerQuarter * beat);
  for (const scale of [1, 2, 10, 100, 1000]) {
    const bpm = Math.round(exact * scale) / scale;
    const micros = (60_000_000 * TICKS_PER_QUARTER) / (bpm * beat);
    if (Math.abs(micros - microsPerQuarter) < 1) return { bpm, beatTicks: beat };
  }
  return { bpm: exact, beatTicks: beat };
}

export function tempoChangesOf(
  marks: readonly { readonly tick: number; readonly microsPerQuarter: number }[],
  bars: readonly Bar[],
): { readonly tempo: Tempo; readonly changes: readonly TempoChange[] } {
  let micros = 500_000;
  let tempo: Tempo | undefined;
  const changes: TempoChange[] = [];
  for (const mark of marks) {
    const meter = (bars.findLast((bar) => bar.startTick <= mark.tick) ?? bars[0]!).meter;
    if (mark.tick === 0) {
      micros = mark.microsPerQuarter;
      tempo = tempoOf(micros, meter);
    } else if (mark.microsPerQuarter !== micros) {
      micros = mark.microsPerQuarter;
      if (changes.at(-1)?.tick === mark.tick) changes.pop();
      changes.push({ tick: mark.tick, tempo: tempoOf(micros, meter) });
    }
  }
  return { tempo: tempo ?? tempoOf(500_000, bars[0]!.meter), changes };
}

/**
 * The key signature that the player reads where another sounds. `transposition`: written + it = sounding.
 * @example writtenFifths(0, -2) // 2: the clarinet in Bb reads D major where C major sounds
 */
export function writtenFifths(sounding: number, transposition: number): number {
  return shiftFifths(sounding, -transposition);
}

export function soundingFifths(written: number, transposition: number): number {
  return shiftFifths(written, transposition);
}

export function keysOf(
  marks: readonly { readonly tick: number; readonly fifths: number; readonly minor: boolean }[],
  transposition: number,
): KeyChange[] {
  const keys: KeyChange[] = [];
  for (const { tick, fifths, minor } of marks) {
    const key: KeyChange = {
      tick,
      fifths: writtenFifths(fifths, transposition),
      mode: minor ? 'minor' : 'major',
    };
    if (keys.at(-1)?.tick === tick) keys.pop();
    const last = keys.at(-1);
    if (!last || last.fifths !== key.fifths || last.mode !== key.mode) keys.push(key);
  }
  if (keys[0]?.tick !== 0) keys.unshift({ tick: 0, fifths: writtenFifths(0, transposition), mode: 'major' });
  return keys;
}
