// From a MIDI file's ticks to microseconds, through its tempo events. With a time code division the tempo
// events mean nothing. Law: microsAt never decreases.

import type { MidiDivision } from './chunks.ts';

/** 120 to the minute, the standard's default. */
const DEFAULT_MICROS_PER_QUARTER = 500_000;

export interface TempoMap {
  /** Rounded to the nearest microsecond. */
  microsAt(tick: number): number;
  /** Of the quarter note, at a tick: from the last tempo event at or before it. */
  microsPerQuarterAt(tick: number): number;
}

interface Segment {
  readonly tick: number;
  /** Sum of ticks times microseconds a quarter: exact whole numbers as long as a file lasts under 200 days. */
  readonly sum: number;
  readonly microsPerQuarter: number;
}

export function tempoMapOf(
  division: MidiDivision,
  tempos: readonly { readonly tick: number; readonly microsPerQuarter: number }[],
): TempoMap {
  if (division.kind === 'timecode') {
    const microsPerTick = 1_000_000 / (division.framesPerSecond * division.ticksPerFrame);
    return {
      microsAt: (tick) => Math.round(tick * microsPerTick),
      microsPerQuarterAt: () => DEFAULT_MICROS_PER_QUARTER,
    };
  }
  const segments: Segment[] = [{ tick: 0, sum: 0, microsPerQuarter: DEFAULT_MICROS_PER_QUARTER }];
  for (const tempo of [...tempos].sort((a, b) => a.tick - b.tick)) {
    const last = segments.at(-1)!;
    const sum = last.sum + (tempo.tick - last.tick) * last.microsPerQuarter;
    if (tempo.tick === last.tick) segments.pop();
    segments.push({ tick: tempo.tick, sum, microsPerQuarter: tempo.microsPerQuarter });
  }
  const at = (tick: number): Segment => {
    let low = 0;
    let high = segments.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (segments[middle]!.tick <= tick) low = middle;
      else high = middle - 1;
    }
    return segments[low]!;
  };
  return {
    microsAt(tick) {
      const segment = at(tick);
      return Math.round(
        (segment.sum + (tick - segment.tick) * segment.microsPerQuarter) / division.ticksPerQuarter,
      );
    },
    microsPerQuarterAt: (tick) => at(tick).microsPerQuarter,
  };
}
