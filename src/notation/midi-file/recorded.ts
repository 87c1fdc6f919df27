// The notes of a recorded MIDI file put on the grid of the file's own tempo. Musical time is what counts: tempo
// changes of the file are followed, since the grid is in its ticks.

import { barAt, beatTicks, isCompound } from '../../music/meter.ts';
import { barsOf, type MeterMark } from '../draft/meter-bars.ts';
import type { SoundingLine, SoundingNote } from '../draft/sounding-score.ts';
import { IssueList } from '../reading.ts';
import { type QuantisedOnset, quantise } from '../transcription/quantise.ts';
import { tempoOf } from './keys-and-tempos.ts';
import type { MidiLine } from './lines.ts';

export interface RecordedTime {
  readonly ticksPerQuarter: number;
  /** At the start; the quantiser needs to know how long a beat is in a player's time. */
  readonly microsPerQuarter: number;
  readonly meters: readonly MeterMark[];
}

/** Below this a place is told as doubtful. */
const DOUBTFUL = 0.9;

export function placeRecorded(
  lines: readonly { readonly line: MidiLine; readonly part: number }[],
  time: RecordedTime,
  issues: IssueList,
): SoundingLine[] {
  const { ticksPerQuarter, microsPerQuarter, meters } = time;
  const toMicros = (fileTick: number) => Math.round((fileTick * microsPerQuarter) / ticksPerQuarter);
  const owners: number[] = [];
  const captured = lines.flatMap(({ line }, owner) =>
    line.notes.map((note) => {
      owners.push(owner);
      return {
        pitch: note.pitch,
        onMicros: toMicros(note.onTick),
        ...(note.offTick === undefined ? {} : { offMicros: toMicros(note.offTick) }),
      };
    }),
  );
  // One beat for the whole file: compound only where all of it is.
  const all = meters.length > 0 ? meters.map((m) => m.meter) : [{ count: 4, unit: 4 }];
  const meter =
    all.every((m) => isCompound(m) && m.unit === all[0]!.unit) || all.length === 1
      ? all[0]!
      : { count: 4, unit: 4 };
  const quantised = quantise(captured, { tempo: tempoOf(microsPerQuarter, meter), meter, zeroMicros: 0 });
  if (quantised.blips.length > 0) {
    issues.warn(
      'quantise.blips',
      `left out ${plural(quantised.blips.length, 'blip')}: too short to be meant`,
    );
  }
  tellCertainty(quantised.onsets, quantised.sdMicros, time, issues);
  const perLine: SoundingNote[][] = lines.map(() => []);
  // What was played early on the first beat stays on it.
  const shift = Math.max(0, -Math.min(0, ...quantised.onsets.slice(0, 1).map((o) => o.tick)));
  const whole = Math.ceil(shift / beatTicks(meter)) * beatTicks(meter);
  if (whole > 0)
    issues.warn(
      'midi.shifted',
      'the first notes lie before the first beat: all was moved a beat or more later',
    );
  for (const { tick, notes } of quantised.onsets) {
    for (const note of notes) {
      perLine[owners[note.captured]!]!.push({
        tick: tick + whole,
        durationTicks: note.durationTicks,
        pitch: note.pitch,
      });
    }
  }
  return lines.map(({ line, part }, i) => ({ ...line, part, notes: perLine[i]! }));
}

function tellCertainty(
  onsets: readonly QuantisedOnset[],
  sdMicros: number,
  { meters }: RecordedTime,
  issues: IssueList,
): void {
  const doubtful = onsets.filter((o) => o.certainty < DOUBTFUL);
  const bars = barsOf(meters, (onsets.at(-1)?.tick ?? 0) + 1, new IssueList());
  const barOf = (tick: number) => bars[barAt(bars, tick)]!.number;
  const share = onsets.reduce((sum, o) => sum + o.certainty, 0) / Math.max(1, onsets.length);
  const sure = `${Math.round(100 * share)} % sure on average, played within ${Math.round(sdMicros / 1000)} ms of it`;
  issues.warn(
    'midi.recorded',
    `this is a recording: ${plural(onsets.length, 'onset')} put on the grid, ${sure}`,
  );
  if (doubtful.length > 0) {
    const where = [...new Set(doubtful.map((o) => barOf(o.tick)))];
    const list = `${where.slice(0, 8).join(', ')}${where.length > 8 ? ', ...' : ''}`;
    issues.warn(
      'midi.doubtful',
      `${plural(doubtful.length, 'onset')} may stand elsewhere: look at ${where.length === 1 ? 'bar' : 'bars'} ${list}`,
      { bar: where[0]! },
    );
  }
  if (share < 0.8) {
    issues.warn(
      'midi.no-grid',
      "the notes hardly follow the file's own tempo: if it was played without a click, the rhythm read here is worth little",
    );
  }
}

function plural(count: number, word: string): string {
  return count === 1 ? `1 ${word}` : `${count} ${word}s`;
}
