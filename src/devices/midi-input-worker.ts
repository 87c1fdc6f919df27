// The worker thread that hosts every MIDI input: the driver calls back on the thread that made the input, and here no
// screen and no disk holds it up, so that the first stamp after opening is already right and ports can be listed freely.

import { parentPort } from 'node:worker_threads';
import type { FromInputs, ToInputs } from './input-host.ts';
import { InputKeeper, LOOK_MICROS } from './input-keeper.ts';
import { loadMidiDriver } from './midi-driver.ts';
import { monotonicMicros } from './system-clock.ts';
import { raiseThreadPriority } from './thread-priority.ts';

const keepers = new Map<number, InputKeeper>();
const port = parentPort;
if (!port) throw new Error('midi-input-worker runs in a worker thread only');
const tell = (message: FromInputs) => port.postMessage(message);
raiseThreadPriority();
const loading = loadMidiDriver();

const looking = setInterval(() => {
  for (const keeper of keepers.values()) keeper.look();
}, LOOK_MICROS / 1000);

port.on('message', async (message: ToInputs) => {
  if (message.type === 'close') {
    keepers.get(message.id)?.close();
    keepers.delete(message.id);
    tell({ type: 'closed', id: message.id });
    if (keepers.size === 0 && message.last) {
      clearInterval(looking);
      port.close();
    }
    return;
  }
  const { id, raw } = message;
  const driver = await loading;
  if (!driver.ok) return tell({ type: 'opened', id, result: driver });
  const keeper = new InputKeeper(raw, {
    driver: driver.value,
    time: { monotonicMicros, calendarMicros: () => Date.now() * 1000 },
    report: (report) => tell({ type: 'report', id, report }),
    isTaken: (name) => [...keepers.values()].some((other) => other.held === name),
  });
  const result = keeper.open();
  if (result.ok) keepers.set(id, keeper);
  tell({ type: 'opened', id, result });
});
