// --from on the command line: who plays.

import { readFileSync } from 'node:fs';
import { EXIT, ProblemError } from '../music/problem.ts';
import { readTake } from '../notation/midi-file-take.ts';
import type { Clock } from '../ports/clock.ts';
import type { PlayerSource } from '../ports/player-source.ts';
import type { Store } from '../ports/store.ts';
import type { Terminal } from '../ports/terminal.ts';
import { PlayerModel } from '../simulation/player-model.ts';
import { readProfile } from '../simulation/read-profile.ts';
import { RecordedSource, type RecordingZero } from '../simulation/recorded-source.ts';
import { need, usage, wholeNumber } from './passage-argument.ts';

export interface SourceOptions {
  readonly from?: string;
  readonly channel?: string;
  readonly shift?: string;
}

export interface SourceWorld {
  readonly clock: Clock;
  readonly store: Store;
  readonly terminal?: Terminal;
  /** Sounding pitches that will be played: the computer keyboard is laid over them. */
  readonly pitches?: readonly number[];
  /** What the zero of a recorded take is; the first note is on the first onset unless told. */
  readonly recordingZero?: RecordingZero;
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
  if (from !== undefined && isModel(from)) return new PlayerModel(world.clock, need(readProfile(from)));
  if (from !== undefined && isRecording(from)) return recorded(from, world.clock, world.recordingZero);
  if (from === 'keys') {
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
  return need(
    await openMidiSource(from ?? (await usualInput(world.store)), {
      ...(options.channel === undefined
        ? {}
        : { channel: wholeNumber(options.channel, 'the channel', { least: 1, most: 16 }) }),
      ...(options.shift === undefined
        ? {}
        : { shiftSemitones: wholeNumber(options.shift, 'the shift', { least: -48, most: 48 }) }),
    }),
  );
}

/** The input used last where it is there, else the only one. */
async function usualInput(store: Store): Promise<string> {
  const { listInputs } = await import('../devices/midi-ports.ts');
  const names = need(await listInputs());
  const last = store.recall('input');
  if (typeof last === 'string' && names.includes(last)) return last;
  if (names.length === 1) return names[0]!;
  const hint = 'fettle demo shows the work with a simulated player; --from model works with one.';
  throw new ProblemError(
    names.length === 0
      ? {
          code: 'port.none',
          message: 'Cannot listen: no MIDI input is connected',
          hint,
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

function recorded(path: string, clock: Clock, zero: RecordingZero = 'entry'): PlayerSource {
  let bytes: Uint8Array;
  try {
    bytes = readFileSync(path);
  } catch {
    throw new ProblemError({
      code: 'take.missing',
      message: `Cannot open the take "${path}": there is no such file, or this account may not read it`,
      exitStatus: EXIT.unreadable,
    });
  }
  const { notes } = need(readTake(bytes));
  // A note that the file never releases is let go with the last one.
  const end = Math.max(0, ...notes.map((note) => note.offMicros ?? note.onMicros));
  const whole = notes.map((note) => ({
    ...note,
    offMicros: note.offMicros ?? Math.max(end, note.onMicros + 1),
  }));
  return new RecordedSource(clock, whole, { name: `recorded take ${path}`, zero });
}
