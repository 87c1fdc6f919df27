// A MIDI system in memory, with the habits of the real driver: names with numbers, no word when a device goes, a first
// delta that means nothing, an old port that stays dead when its device returns.

import type { MidiDriver, OpenInput, OpenOutput } from '../../src/devices/midi-driver.ts';
import { fail, ok, type Result } from '../../src/problem.ts';

export class SimulatedDriver implements MidiDriver {
  names: string[];
  /** Bytes sent to outputs, in order. */
  readonly sent: number[][] = [];
  readonly #open = new Map<string, Set<(deltaSeconds: number, bytes: number[]) => void>>();
  opened = 0;

  constructor(names: string[]) {
    this.names = names;
  }

  portNames(): string[] {
    return [...this.names];
  }

  openInput(raw: string, onMessage: (deltaSeconds: number, bytes: number[]) => void): Result<OpenInput> {
    if (!this.names.includes(raw)) return fail({ code: 'port.busy', message: 'gone', exitStatus: 4 });
    this.opened += 1;
    const listeners = this.#open.get(raw) ?? new Set();
    this.#open.set(raw, listeners.add(onMessage));
    return ok({ destroy: () => listeners.delete(onMessage) });
  }

  openOutput(): Result<OpenOutput> {
    return ok({ send: (bytes: readonly number[]) => this.sent.push([...bytes]), destroy: () => {} });
  }

  play(raw: string, deltaSeconds: number, bytes: number[]): void {
    for (const listener of this.#open.get(raw) ?? []) listener(deltaSeconds, bytes);
  }

  /** Silently, as it is. */
  unplug(raw: string): void {
    this.names = this.names.filter((name) => name !== raw);
    this.#open.delete(raw);
  }

  plug(raw: string): void {
    this.names.push(raw);
  }
}
