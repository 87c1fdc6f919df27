// What stands between the notes of a MIDI file, in our ticks and by tick: meters, keys, tempos, rehearsal marks (the
// standard's markers: "a rehearsal letter or section name").

import type { RehearsalMark } from '../../music/passage.ts';
import { TICKS_PER_QUARTER } from '../../music/ticks.ts';
import type { MeterMark } from '../draft/meter-bars.ts';
import type { MidiEvents } from './events.ts';
import type { MidiTrackEvent } from './track.ts';

export interface MidiMarks {
  readonly meters: readonly MeterMark[];
  readonly keys: readonly { readonly tick: number; readonly fifths: number; readonly minor: boolean }[];
  readonly tempos: readonly { readonly tick: number; readonly microsPerQuarter: number }[];
  readonly rehearsals: readonly RehearsalMark[];
  readonly composer?: string;
  /** The file says outright that its first bar is a pickup; our own writer does. */
  readonly pickup: boolean;
  /** It says that it was written and not recorded: then every tick is meant, on a grid or not. */
  readonly written: boolean;
}

/** Texts of our own writer, plain enough for other programs to show. */
export const COMPOSER_TEXT = 'Composer: ';
export const PICKUP_TEXT = 'Pickup';
export const WRITTEN_TEXT = 'Written by Fettle from a score';

/** Time codes count seconds, not beats: a quarter is taken for half a second, the standard's default tempo. */
const MICROS_PER_QUARTER = 500_000;

/** Ticks of the file to the quarter note; not whole with most time codes. */
export function ticksPerQuarterOf({ division }: MidiEvents): number {
  if (division.kind === 'metrical') return division.ticksPerQuarter;
  return (division.framesPerSecond * division.ticksPerFrame * MICROS_PER_QUARTER) / 1_000_000;
}

/** Marks of all tracks; in format 2, where tracks do not belong together, of the chosen ones. */
export function marksOf(file: MidiEvents, chosenTracks: readonly number[]): MidiMarks {
  const ticksPerQuarter = ticksPerQuarterOf(file);
  const tracks = file.format === 2 ? file.tracks.filter((t) => chosenTracks.includes(t.number)) : file.tracks;
  const events: MidiTrackEvent[] = tracks.flatMap((t) =>
    t.events.filter((e) => ['meter', 'key', 'tempo', 'text'].includes(e.type)),
  );
  events.sort((a, b) => a.tick - b.tick);
  const meters: MeterMark[] = [];
  const keys: { tick: number; fifths: number; minor: boolean }[] = [];
  const tempos: { tick: number; microsPerQuarter: number }[] = [];
  const rehearsals: RehearsalMark[] = [];
  const marked = new Set<string>();
  let composer: string | undefined;
  let pickup = false;
  let written = false;
  for (const event of events) {
    const tick = Math.round((event.tick * TICKS_PER_QUARTER) / ticksPerQuarter);
    if (event.type === 'meter') meters.push({ tick, meter: { count: event.count, unit: event.unit } });
    else if (event.type === 'key') keys.push({ tick, fifths: event.fifths, minor: event.minor });
    else if (event.type === 'tempo') tempos.push({ tick, microsPerQuarter: event.microsPerQuarter });
    else if (event.type === 'text' && event.kind === 'marker' && event.text !== '') {
      const mark = `${tick} ${event.text}`;
      if (!marked.has(mark)) rehearsals.push({ tick, text: event.text });
      marked.add(mark);
    } else if (event.type === 'text' && event.kind === 'text') {
      if (event.text.startsWith(COMPOSER_TEXT)) composer ??= event.text.slice(COMPOSER_TEXT.length);
      if (event.tick === 0 && event.text === PICKUP_TEXT) pickup = true;
      if (event.tick === 0 && event.text === WRITTEN_TEXT) written = true;
    }
  }
  const known = file.division.kind === 'metrical' ? tempos : [];
  return {
    meters,
    keys,
    tempos: known,
    rehearsals,
    pickup,
    written,
    ...(composer === undefined ? {} : { composer }),
  };
}
