// --from on the command line: who plays.

import type { Clock } from '../ports/clock.ts';
import type { PlayerSource } from '../ports/player-source.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import type { Terminal } from '../ports/terminal.ts';
import { EXIT, ProblemError } from '../problem.ts';
import type { Ensemble } from '../simulation/ensemble.ts';
import { PlayerModel } from '../simulation/player-model.ts';
import { readProfile } from '../simulation/read-profile.ts';
import { RecordedSource, type RecordingZero } from '../simulation/recorded-source.ts';
import type { Recordings } from '../simulation/recordings.ts';
import { wholeNumber } from './number-argument.ts';
import { readTakeFile } from './take-file.ts';
import { need, usage } from './usage-problem.ts';

export interface SourceOptions {
  readonly from?: string;
  readonly channel?: string;
  readonly shift?: string;
}

export interface SourceWorld {
  readonly clock: Clock;
  readonly record: PracticeRecord;
  readonly terminal?: Terminal;
  /** Sounding pitches that will be played: the computer keyboard is laid over them. */
  readonly pitches?: readonly number[];
  /** What the zero of a recorded take is; the first note is on the first onset unless told. */
  readonly recordingZero?: RecordingZero;
  /** The simulated players of a section who listen to one another. */
  readonly ensemble?: Ensemble;
  /** The first note of a recorded take only names the transposition. */
  readonly isFirstNamed?: boolean;
  /** The recorded takes of a section. */
  readonly recordings?: Recordings;
  /** What to do where no instrument is plugged in, in a sentence, where the usual advice does not fit. */
  readonly instead?: string;
}

/** True for sources that can play on the simulated clock. */
export function isSimulated(from: string | undefined): boolean {
  return from !== undefined && (isModel(from) || isRecording(from));
}

export function isModel(from: string): boolean {
  return /^model($|[:,])/.test(from);
}

export function isRecording(from: string): boolean {
  return /\.(mid|midi|smf)$/i.test(from);
}

/** Makes the source; throws a ProblemError that lists what there is. */
export async function openSource(options: SourceOptions, world: SourceWorld): Promise<PlayerSource> {
  const { from } = options;
  const listening = readListening(options);
  if (from !== undefined && isModel(from)) {
    refuseListening(options, 'a model: it plays what is written');
    const { ensemble } = world;
    return new PlayerModel(world.clock, need(readProfile(from)), ensemble ? { ensemble } : {});
  }
  if (from !== undefined && isRecording(from)) return recorded(from, world, listening);
  if (from === 'keys') {
    refuseListening(options, 'the computer keyboard: its keys are laid over the passage');
    if (!world.terminal) {
      throw usage(
        'source.keys',
        'Cannot play on the computer keyboard in plain lines: a terminal screen is needed',
        'Leave out --plain, or use --from model',
      );
    }
    const { basePitchFor, KeyboardSource } = await import('../devices/keyboard-source.ts');
    const { pitches = [] } = world;
    return new KeyboardSource(world.clock, pitches.length > 0 ? { basePitch: basePitchFor(pitches) } : {});
  }
  const { openMidiSource } = await import('../devices/midi-source.ts');
  try {
    return need(await openMidiSource(from ?? (await usualInput(world.record)), listening));
  } catch (error) {
    throw withAdvice(error, world.instead ?? PLAY_WITHOUT);
  }
}

const PLAY_WITHOUT =
  'Without an instrument: --from keys, --from model, or a recorded take, --from FILE.mid. fettle demo shows the work.';

/** A problem that says that there is nothing to listen to, with what else this command can do; any other as it is. */
export function withAdvice(error: unknown, hint: string): unknown {
  if (!(error instanceof ProblemError) || !['midi.none', 'port.none'].includes(error.problem.code))
    return error;
  return new ProblemError({ ...error.problem, hint });
}

/** What of all that comes in is listened to, and how it is moved. */
interface Listening {
  readonly channel?: number;
  readonly shiftSemitones?: number;
}

function readListening({ channel, shift }: SourceOptions): Listening {
  return {
    ...(channel === undefined
      ? {}
      : { channel: wholeNumber(channel, 'the channel', { least: 1, most: 16 }) }),
    ...(shift === undefined ? {} : { shiftSemitones: shiftSemitones(shift) }),
  };
}

/** @example shiftSemitones('-12') // -12 */
export function shiftSemitones(text: string): number {
  return wholeNumber(text, 'the shift', { least: -48, most: 48 });
}

function refuseListening(options: SourceOptions, source: string): void {
  const idle = (['channel', 'shift'] as const).find((name) => options[name] !== undefined);
  if (idle === undefined) return;
  throw usage('option.idle', `Cannot use --${idle} with ${source}`);
}

/** The input used last where it is there, else the only one. */
async function usualInput(record: PracticeRecord): Promise<string> {
  const { listInputs } = await import('../devices/midi-ports.ts');
  const names = need(await listInputs());
  const last = record.recall('input');
  if (typeof last === 'string' && names.includes(last)) return last;
  if (names.length === 1) return names[0]!;
  throw new ProblemError(
    names.length === 0
      ? {
          code: 'port.none',
          message: 'Cannot listen: no MIDI input is connected',
          exitStatus: EXIT.device,
        }
      : {
          code: 'port.several',
          message: `Cannot choose an input: there are ${names.join(', ')}`,
          hint: 'Name one: --from "part of its name". It is remembered.',
          exitStatus: EXIT.usage,
        },
  );
}

function recorded(
  path: string,
  { clock, recordings, recordingZero = 'entry', isFirstNamed = false }: SourceWorld,
  { channel, shiftSemitones = 0 }: Listening,
): PlayerSource {
  const { notes, events } = readTakeFile(path, channel === undefined ? {} : { channel });
  // A note that the file never releases is let go with the last one.
  const end = Math.max(0, ...notes.map((note) => note.offMicros ?? note.onMicros));
  const whole = notes.map((note) => ({
    ...note,
    pitch: note.pitch + shiftSemitones,
    offMicros: note.offMicros ?? Math.max(end, note.onMicros + 1),
  }));
  // A pitch that the shift takes out of 0 to 127 is no note any more, as with an instrument.
  const played = whole.filter(({ pitch }) => pitch >= 0 && pitch <= 127);
  const touches = events.flatMap((event) =>
    event.type === 'controller' || event.type === 'other' ? [event] : [],
  );
  return new RecordedSource(clock, played, {
    name: `recorded take ${path}`,
    zero: recordingZero,
    isFirstNamed,
    touches,
    ...(recordings ? { recordings } : {}),
  });
}
