// How late clicks leave: from the worker thread, and for comparison from the main thread's own clock, while the screen
// is redrawn 30 times a second (every line changed) and the disk is written to; then with the main thread also blocked
// 100 ms at a time, as reading a score does. `npx tsx test/bench/click-lateness.ts [SECONDS]`.
// Budget: 1 ms at p99 from the worker. The machine's own noise is printed beside: for how long a thread that only reads
// the clock was held up.

import { closeSync, fsyncSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { need } from '../../src/commands/usage-problem.ts';
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
let drawn = 0;
const drawing = setInterval(() => {
  const started = performance.now();
  // A heavy screen: eight whole frames for one, as an elaborate drawing in front of the terminal costs.
  for (let i = 0; i < 8; i += 1) draw();
  drawn += performance.now() - started;
}, 1000 / 30);

const file = openSync(join(folder, 'busy'), 'w');
const block = Buffer.alloc(256 * 1024, 7);
const writing = setInterval(() => {
  writeSync(file, block, 0, block.length, 0);
  fsyncSync(file);
}, 50);

/** Clicks from both threads at once, half a gap apart, so that both meet the same load. */
async function measure(name: string): Promise<void> {
  const zero = clock.nowMicros() + 3_000_000;
  const gap = 1e6 / CLICKS_PER_SECOND;
  const times = Array.from({ length: SECONDS * CLICKS_PER_SECOND }, (_, i) => zero + Math.round(i * gap));
  const fromWorker: number[] = [];
  const click = need(await openWorkerClick({ nowhere: true, onLeft: (late) => fromWorker.push(late) }));
  click.schedule(times.map((atMicros) => ({ atMicros, accent: 'beat' as const })));
  const fromMain: number[] = [];
  for (const time of times) {
    const at = time + gap / 2;
    clock.wakeAt(at, () => fromMain.push(clock.nowMicros() - at));
  }
  await new Promise<void>((resolve) => {
    clock.wakeAt((times.at(-1) ?? 0) + 1_000_000, resolve);
  });
  await click.close();
  console.log(`${name}, load ${loadavg()[0]?.toFixed(1)}`);
  print('  worker thread', fromWorker);
  print('  main thread', fromMain);
}

function print(name: string, micros: readonly number[]): void {
  const sorted = [...micros].sort((a, b) => a - b);
  const at = (share: number) =>
    ((sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] ?? 0) / 1000).toFixed(3);
  console.log(`${name}: ${micros.length}, late p50 ${at(0.5)}, p99 ${at(0.99)}, worst ${at(1)} ms`);
}

/** In slices of 100 ms, the longest time for which a thread that only reads the clock was held up. */
function noise(): number[] {
  const held: number[] = [];
  for (let slice = 0; slice < 50; slice += 1) {
    let worst = 0;
    let last = clock.nowMicros();
    for (const end = last + 100_000; last < end; ) {
      const now = clock.nowMicros();
      worst = Math.max(worst, now - last);
      last = now;
    }
    held.push(worst);
  }
  return held;
}

print('the machine itself, held up', noise());
await measure('screen and disk');
const blocking = setInterval(() => {
  for (const end = clock.nowMicros() + 100_000; clock.nowMicros() < end; );
}, 250);
await measure('screen, disk and a blocked main thread');
clearInterval(blocking);

clearInterval(drawing);
clearInterval(writing);
terminal.close();
closeSync(file);
rmSync(folder, { recursive: true });
console.log(`the screen cost ${((8 * drawn) / frame).toFixed(2)} ms a redraw`);
process.exit(0);
