// What `fettle capture` is told: the music's heading, who plays, where it goes.

import { existsSync } from 'node:fs';
import { basename, extname } from 'node:path';
import { beatTicks, type Meter } from '../music/meter.ts';
import type { Mode } from '../music/passage.ts';
import { TICKS_PER_WHOLE } from '../music/ticks.ts';
import { readKey, readMeter } from '../notation/abc/fields.ts';
import type { CaptureHeading } from '../notation/transcription/passage.ts';
import { capitalised } from '../wording/counted.ts';
import type { OutletOptions } from './click-argument.ts';
import { tempoBpm } from './number-argument.ts';
import { knownInstrument } from './part-argument.ts';
import type { RecordOptions } from './record-place.ts';
import { isModel, isRecording, type SourceOptions } from './source-argument.ts';
import { usage } from './usage-problem.ts';
import { refuseMissingFolder } from './written-file.ts';

export interface CaptureOptions extends SourceOptions, OutletOptions, RecordOptions {
  readonly meter?: string;
  readonly tempo?: string;
  readonly goal?: string;
  readonly key?: string;
  readonly instrument?: string;
  readonly title?: string;
  readonly pickup?: string;
  readonly out?: string;
  readonly force?: boolean;
  readonly yes?: boolean;
  readonly fast?: boolean;
}

/** Slow enough that the grid is sure: a beat a second. */
const SLOW_BPM = 60;

/** Which key, meter and instrument; the title and the name wait for the file's name where none is given. */
export function readHeading(options: CaptureOptions): CaptureHeading {
  const meter = meterOf(options.meter ?? '4/4');
  const bpm = tempoBpm(options.goal ?? options.tempo ?? String(SLOW_BPM));
  const title = options.title ?? (options.out === undefined ? 'Played in' : titleOf(options.out));
  return {
    name: options.out ?? 'played in',
    title,
    tempo: { bpm, beatTicks: beatTicks(meter) },
    meter,
    instrument: knownInstrument(options.instrument ?? 'keyboard'),
    ...(options.key === undefined ? {} : { key: keyOf(options.key) }),
  };
}

export function captureBpm(options: CaptureOptions): number {
  return tempoBpm(options.tempo ?? String(SLOW_BPM));
}

export function titleOf(path: string): string {
  const words = basename(path, extname(path)).replace(/[-_]+/g, ' ').trim();
  return words === '' ? 'Played in' : capitalised(words);
}

/** The file's name with its ending. @example abcPath('tune') // 'tune.abc' */
export function abcPath(path: string): string {
  const ending = extname(path).toLowerCase();
  if (ending === '') return `${path}.abc`;
  if (ending === '.abc') return path;
  throw usage(
    'capture.form',
    `Cannot save as "${path}": what is played in is saved as ABC (.abc)`,
    'fettle convert makes the other forms of it.',
  );
}

/** Refuses beforehand what would otherwise fail only after the player has played. */
export function checkPlan(options: CaptureOptions): void {
  const { from, out, pickup } = options;
  if (from !== undefined && isModel(from)) {
    throw usage(
      'capture.model',
      'Cannot play in from a model: it plays what is written, and nothing is written yet',
      'Give a MIDI input (fettle ports lists them) or a recorded take, --from FILE.mid.',
    );
  }
  if (from === 'keys') {
    throw usage(
      'capture.keys',
      'Cannot play in from the computer keyboard: it tells no note lengths, and its timing is too coarse for a rhythm',
      'Give a MIDI input or a recorded take, or type the bars as ABC.',
    );
  }
  const recorded = from !== undefined && isRecording(from);
  if (options.fast && !recorded) {
    throw usage('option.fast', 'Cannot play fast from a real instrument: --fast needs --from FILE.mid');
  }
  if (pickup !== undefined && !recorded) {
    throw usage(
      'capture.pickup',
      'Cannot use --pickup with an instrument: a pickup is heard when it is played, in the count-in',
    );
  }
  if (options.yes && out === undefined) {
    throw usage('capture.out', 'Cannot save without asking: no file is named', 'Give one: --out FILE.abc');
  }
  if (out === undefined) return;
  const path = abcPath(out);
  refuseMissingFolder(path);
  if (options.yes && !options.force && existsSync(path)) {
    throw usage(
      'capture.exists',
      `Cannot save as "${path}": there is such a file already`,
      '--force writes over it.',
    );
  }
}

/** Ticks before the first downbeat, from beats: "1", "1.5". */
export function pickupTicks(options: CaptureOptions, meter: Meter): number {
  if (options.pickup === undefined) return 0;
  const beats = Number(options.pickup);
  const ticks = beats * beatTicks(meter);
  const bar = (meter.count * TICKS_PER_WHOLE) / meter.unit;
  if (!Number.isInteger(ticks) || ticks < 0 || ticks >= bar || options.pickup.trim() === '') {
    throw usage(
      'capture.pickup',
      `Cannot use the pickup "${options.pickup}": beats, less than a bar of them, are needed`,
    );
  }
  return ticks;
}

function meterOf(text: string): Meter {
  const meter = readMeter(text);
  if (meter !== undefined && meter !== 'free') return meter;
  throw usage('option.meter', `Cannot use the meter "${text}": such as 4/4, 3/4, 6/8 or 5/8 is needed`);
}

function keyOf(text: string): { readonly fifths: number; readonly mode: Mode } {
  // The sign of a flat or a sharp, then the mode, with or without a space: "Bb", "F#m", "D dorian".
  const { signature, unknown } = readKey(text.trim().replace(/^[a-g]/, (letter) => letter.toUpperCase()));
  if (signature && unknown.length === 0 && /^\s*[A-Ga-g]/.test(text)) {
    const { fifths, mode } = signature;
    if (Math.abs(fifths) <= 7) return { fifths, mode };
  }
  throw usage(
    'option.key',
    `Cannot use the key "${text}": such as C, Bb, F#m or "D dorian" is needed, as the player reads it`,
  );
}
