// Keys and tempos of a MIDI file, in our ticks.

import { type Bar, barAt, beatTicks, type Meter } from '../../music/meter.ts';
import type { KeyChange, TempoChange } from '../../music/passage.ts';
import type { Tempo } from '../../music/tempo.ts';
import { TICKS_PER_QUARTER } from '../../music/ticks.ts';
import { writtenFifths } from '../../music/transposition.ts';

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
    const { meter } = bars[barAt(bars, mark.tick)]!;
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
