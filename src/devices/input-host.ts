// The main thread's side of the input worker: one worker for all inputs, started with the first and stopped with the
// last.

import type { Worker } from 'node:worker_threads';
import { EXIT, fail, ok, type Result } from '../problem.ts';
import type { InputReport } from './input-keeper.ts';
import { leadNativeLinesAway } from './native-lines.ts';
import { monotonicMicros } from './system-clock.ts';
import { startWorker } from './worker-entry.ts';

export type ToInputs =
  | { readonly type: 'open'; readonly id: number; readonly raw: string }
  | { readonly type: 'close'; readonly id: number; readonly last: boolean };

export type FromInputs =
  | { readonly type: 'opened'; readonly id: number; readonly result: Result<unknown> }
  | { readonly type: 'report'; readonly id: number; readonly report: InputReport }
  | { readonly type: 'closed'; readonly id: number };

export interface HostedInput {
  close(): Promise<void>;
}

interface Hosted {
  readonly report: (report: InputReport) => void;
  opened(result: Result<unknown>): void;
  closed(): void;
  /** Once it has been told to close. */
  closing?: Promise<void>;
}

class InputHost {
  readonly #worker: Worker;
  readonly #inputs = new Map<number, Hosted>();
  #lastId = 0;
  ended = false;

  constructor() {
    leadNativeLinesAway();
    this.#worker = startWorker(new URL('./midi-input-worker', import.meta.url), {});
    this.#worker.on('message', (message: FromInputs) => this.#hear(message));
    this.#worker.on('error', (error) => this.#crash(error));
  }

  open(raw: string, report: (report: InputReport) => void): Promise<Result<HostedInput>> {
    this.#lastId += 1;
    const id = this.#lastId;
    return new Promise((resolve) => {
      this.#inputs.set(id, {
        report,
        opened: (result) => {
          if (!result.ok) void this.#close(id);
          resolve(result.ok ? ok({ close: () => this.#close(id) }) : result);
        },
        closed: () => {},
      });
      this.#send({ type: 'open', id, raw });
    });
  }

  #close(id: number): Promise<void> {
    const input = this.#inputs.get(id);
    if (!input || (this.ended && !input.closing)) return Promise.resolve();
    if (input.closing) return input.closing;
    // The last to be told, not the last to have closed: several may be told before the thread has answered the first.
    const last = [...this.#inputs.values()].every((other) => other === input || other.closing);
    this.ended = last;
    input.closing = new Promise((resolve) => {
      input.closed = () => {
        this.#inputs.delete(id);
        resolve();
      };
      this.#send({ type: 'close', id, last });
    });
    return input.closing;
  }

  #send(message: ToInputs): void {
    this.#worker.postMessage(message);
  }

  #hear(message: FromInputs): void {
    const input = this.#inputs.get(message.id);
    if (message.type === 'report') input?.report(message.report);
    else if (message.type === 'opened') input?.opened(message.result);
    else input?.closed();
  }

  #crash(error: unknown): void {
    this.ended = true;
    const reason = `the MIDI thread broke: ${error instanceof Error ? error.message : String(error)}`;
    for (const input of this.#inputs.values()) {
      input.opened(
        fail({
          code: 'port.busy',
          message: `Cannot open the MIDI input: ${reason}`,
          exitStatus: EXIT.device,
        }),
      );
      input.report({ type: 'lost', at: monotonicMicros(), reason });
      input.closed();
    }
  }
}

let host: InputHost | undefined;

/** Opens an input by the driver's name. Reports come in order, with stamps that are not in the future by over 10 ms. */
export function openHostedInput(
  raw: string,
  report: (report: InputReport) => void,
): Promise<Result<HostedInput>> {
  if (!host || host.ended) host = new InputHost();
  return host.open(raw, report);
}
