// How late clicks leave: from the worker thread, and for comparison from the main thread's own clock, while the screen
// is redrawn 30 times a second (every line changed) and the disk is written to. `npx tsx test/bench/click-lateness.ts`.
// Budget: 1 ms at p99 from the worker.

import { closeSync, fsyncSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { openTerminal } from '../../src/devices/blessed-terminal.ts';
import { SystemClock } from '../../src/devices/system-clock.ts';
import { openWorkerClick } from '../../src/devices/worker-click.ts';

const SECONDS = Number(process.argv[2] ?? 60);
const CLICKS_PER_SECOND = 10;
const clock = new SystemClock();

const folder = mkdtempSync(join(tmpdir(), 'fettle-bench-'));
const output = Object.assign(new PassThrough(), { columns: 120, rows: 40, isTTY: true });
output.resume();
const input = Object.assign(new PassThrough(), { isTTY: true, isRaw: false, setRawMode: () => {} });
const terminal = await openTerminal({ input, output } as never);

let frame = 0;
function draw(): void {
  frame += 1;
  const lines = Array.from({ length: 40 }, (_, row) =>
    Array.from({ length: 12 }, (_, run) => ({
      text: `${(frame * 31 + row * 7 + run) % 9999999}`.padEnd(10),
      role: 'late' as const,
    })),
  );
  terminal.draw({ columns: 120, rows: 40, lines });
}
const drawing = setInterval(draw, 1000 / 30);

const file = openSync(join(folder, 'busy'), 'w');
const block = Buffer.alloc(256 * 1024, 7);
const writing = setInterval(() => {
  writeSync(file, block, 0, block.length, 0);
  fsyncSync(file);
}, 50);

const times = () => {
  const zero = clock.nowMicros() + 500_000;
  return Array.from(
    { length: SECONDS * CLICKS_PER_SECOND },
    (_, i) => zero + Math.round((i * 1e6) / CLICKS_PER_SECOND),
  );
};
const settle = (lastMicros: number) =>
  new Promise<void>((resolve) => {
    clock.wakeAt(lastMicros + 500_000, resolve);
  });

const fromWorker: number[] = [];
const click = await openWorkerClick({ nowhere: true, onLeft: (late) => fromWorker.push(late) });
if (!click.ok) throw new Error(click.problem.message);
const workerTimes = times();
click.value.schedule(workerTimes.map((atMicros) => ({ atMicros, accent: 'beat' as const })));
await settle(workerTimes.at(-1) ?? 0);
await click.value.close();

const fromMain: number[] = [];
const mainTimes = times();
for (const at of mainTimes) clock.wakeAt(at, () => fromMain.push(clock.nowMicros() - at));
await settle(mainTimes.at(-1) ?? 0);

clearInterval(drawing);
clearInterval(writing);
terminal.close();
closeSync(file);
rmSync(folder, { recursive: true });

for (const [name, late] of [
  ['worker thread', fromWorker],
  ['main thread', fromMain],
] as const) {
  const sorted = [...late].sort((a, b) => a - b);
  const at = (share: number) =>
    ((sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] ?? 0) / 1000).toFixed(3);
  console.log(`${name}: ${late.length} clicks, late p50 ${at(0.5)}, p99 ${at(0.99)}, worst ${at(1)} ms`);
}
process.exit(0);
