// The one door to the MIDI library, behind the few calls that are safe to make. RtMidi's traps, kept in here: never
// reopen an Input or an Output (its late finaliser closes the new port): destroy it and make another; without a
// sequencer the constructor throws and noise goes to stderr; without the system's sound library the module does not
// load; opening what is not there answers nothing; a port that another program holds may just stay closed.

import { existsSync } from 'node:fs';
import { isMainThread } from 'node:worker_threads';
import { EXIT, fail, ok, type Problem, type Result } from '../problem.ts';
import { leadNativeLinesAway } from './native-lines.ts';
import type { PortDirection } from './port-name.ts';

export interface OpenInput {
  /** Closes for good. */
  destroy(): void;
}

export interface OpenOutput {
  send(bytes: readonly number[]): void;
  destroy(): void;
}

export interface MidiDriver {
  /** Names as the system says them, in its order. About 1 ms. */
  portNames(direction: PortDirection): string[];
  /**
   * `onMessage` gets the driver's delta in seconds since the message before, and the bytes; active sensing and clock
   * included, system exclusive and time code left out.
   */
  openInput(raw: string, onMessage: (deltaSeconds: number, bytes: number[]) => void): Result<OpenInput>;
  openOutput(raw: string): Result<OpenOutput>;
}

/** The driver, or why there is none ('midi.none'). The library is loaded here, not before. */
export async function loadMidiDriver(): Promise<Result<MidiDriver>> {
  // Asking the library where there is no sequencer would print its own lines over the screen.
  if (process.platform === 'linux' && !existsSync('/dev/snd/seq')) return fail(noSystem('no ALSA sequencer'));
  try {
    if (isMainThread) leadNativeLinesAway();
    const library = await import('@julusian/midi/lazy');
    library.verifyLibraryLoaded();
    library.Input.getPortNames();
    return ok(new RtMidiDriver(library));
  } catch (error) {
    return fail(noSystem(error instanceof Error ? (error.message.split('\n')[0] ?? '') : String(error)));
  }
}

type Library = typeof import('@julusian/midi/lazy');

class RtMidiDriver implements MidiDriver {
  readonly #library: Library;

  constructor(library: Library) {
    this.#library = library;
  }

  portNames(direction: PortDirection): string[] {
    const { Input, Output } = this.#library;
    return direction === 'input' ? Input.getPortNames() : Output.getPortNames();
  }

  openInput(raw: string, onMessage: (deltaSeconds: number, bytes: number[]) => void): Result<OpenInput> {
    return open(raw, 'input', () => {
      const input = new this.#library.Input();
      input.ignoreTypes(true, false, false);
      input.on('message', (deltaSeconds, bytes) => {
        if (bytes[0] !== 0xf1) onMessage(deltaSeconds, bytes);
      });
      input.openPortByName(raw);
      return input;
    });
  }

  openOutput(raw: string): Result<OpenOutput> {
    return open(raw, 'output', () => {
      const output = new this.#library.Output();
      output.openPortByName(raw);
      return {
        isPortOpen: () => output.isPortOpen(),
        send: (bytes: readonly number[]) => output.sendMessage([...bytes]),
        destroy: () => output.destroy(),
      };
    });
  }
}

function open<T extends { isPortOpen(): boolean; destroy(): void }>(
  raw: string,
  direction: PortDirection,
  make: () => T,
): Result<T> {
  try {
    const port = make();
    if (port.isPortOpen()) return ok(port);
    port.destroy();
    return fail(busy(raw, direction, 'it did not open'));
  } catch (error) {
    return fail(busy(raw, direction, error instanceof Error ? error.message : String(error)));
  }
}

function busy(raw: string, direction: PortDirection, why: string): Problem {
  return {
    code: 'port.busy',
    message: `Cannot open MIDI ${direction} "${raw}": ${why}`,
    hint: 'It is gone, or another program holds it: close that program, or plug the device in again.',
    exitStatus: EXIT.device,
  };
}

function noSystem(why: string): Problem {
  return {
    code: 'midi.none',
    message: `Cannot use MIDI: this machine has no MIDI system (${why})`,
    hint: 'Everything else works: play with --from keys, a recorded take or --from model.',
    exitStatus: EXIT.device,
  };
}
