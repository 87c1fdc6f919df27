// The main thread's side of the inputs' thread, with a stand-in for the thread: it must end with the last input, or the
// process never does.

import { EventEmitter } from 'node:events';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import type { FromInputs, ToInputs } from '../../src/devices/input-host.ts';

/** Answers what it is told, a moment later, as the thread does. */
class Thread extends EventEmitter {
  readonly told: ToInputs[] = [];

  postMessage(message: ToInputs): void {
    this.told.push(message);
    const answer: FromInputs =
      message.type === 'open'
        ? { type: 'opened', id: message.id, result: { ok: true, value: undefined } }
        : { type: 'closed', id: message.id };
    setImmediate(() => this.emit('message', answer));
  }
}

const threads: Thread[] = [];
vi.mock('../../src/devices/worker-entry.ts', () => ({
  startWorker: () => {
    const thread = new Thread();
    threads.push(thread);
    return thread;
  },
}));

beforeEach(() => {
  threads.length = 0;
  vi.resetModules();
});

describe('hosted inputs', () => {
  it('that are closed together end their thread', async () => {
    const [first, second] = await twoInputs();
    await Promise.all([first.close(), second.close()]);
    expect(closings()).toEqual([
      { type: 'close', id: 1, last: false },
      { type: 'close', id: 2, last: true },
    ]);
  });

  it('that are closed one after the other end it with the last', async () => {
    const [first, second] = await twoInputs();
    await second.close();
    await first.close();
    expect(closings().map((one) => one.type === 'close' && one.last)).toEqual([false, true]);
  });

  it('closed twice are told once, and both wait for the answer', async () => {
    const [first, second] = await twoInputs();
    await Promise.all([first.close(), first.close(), second.close(), second.close()]);
    expect(closings()).toHaveLength(2);
  });

  it('opened after the thread has ended get a new one', async () => {
    const [first, second] = await twoInputs();
    await Promise.all([first.close(), second.close()]);
    const { openHostedInput } = await import('../../src/devices/input-host.ts');
    await openHostedInput('third', () => {});
    expect(threads).toHaveLength(2);
  });
});

// Helpers

async function twoInputs() {
  const { openHostedInput } = await import('../../src/devices/input-host.ts');
  const opened = await Promise.all(['first', 'second'].map((name) => openHostedInput(name, () => {})));
  return opened.map((one) => {
    if (!one.ok) throw new Error(one.problem.message);
    return one.value;
  }) as [{ close(): Promise<void> }, { close(): Promise<void> }];
}

function closings(): ToInputs[] {
  return threads.flatMap(({ told }) => told.filter(({ type }) => type === 'close'));
}
