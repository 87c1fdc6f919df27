// Reading a score of 5,000 notes: MusicXML and ABC, time and memory, with musicxml-io 0.9.6 (MIT) and abcjs 6.7.2
// (MIT) reading the same files beside. Budget: MusicXML under 300 ms and 150 MB. Run alone:
// `node --expose-gc --import tsx test/bench/notation.ts`, each reader in a process of its own.

import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { Onset } from '../../src/music/onset.ts';
import type { Passage } from '../../src/music/passage.ts';
import { writeAbc } from '../../src/notation/abc/writer.ts';
import { writeMusicXml } from '../../src/notation/musicxml/writer.ts';
import { generatedPassage } from '../notation/generated-passage.ts';

const NOTES = 5000;
const BUDGET_MS = 300;
const BUDGET_MB = 150;

/** Passages made at random one after another, until there are 5,000 notes. */
function longPassage(): Passage {
  const piece = (seed: number) =>
    generatedPassage(seed, { parts: 1, instruments: ['keyboard'], changes: false, bars: 8 });
  const first = piece(1);
  const bars = [...first.bars];
  const onsets: Onset[] = [...first.onsets];
  const meter = first.bars.at(-1)!.meter;
  let { endTick } = first;
  let count = notesOf(onsets);
  for (let seed = 2; count < NOTES; seed += 1) {
    const next = piece(seed);
    if (
      next.bars[0]!.pickup ||
      next.bars[0]!.meter.count !== meter.count ||
      next.bars[0]!.meter.unit !== meter.unit
    ) {
      continue;
    }
    const start = endTick;
    bars.push(
      ...next.bars.map((bar, i) => ({
        ...bar,
        number: bars.length + i + 1,
        startTick: start + bar.startTick,
      })),
    );
    onsets.push(...next.onsets.map((onset) => ({ ...onset, tick: start + onset.tick })));
    endTick += next.endTick;
    count += notesOf(next.onsets);
  }
  return { ...first, bars, onsets, endTick };
}

function notesOf(onsets: readonly Onset[]): number {
  return onsets.reduce((sum, onset) => sum + onset.notes.length, 0);
}

const READERS: Record<string, () => Promise<() => unknown>> = {
  'our MusicXML': async () => {
    const text = writeMusicXml(longPassage());
    const { readMusicXml } = await import('../../src/notation/musicxml/reader.ts');
    return () => readMusicXml(text, 'long').noteCount;
  },
  'musicxml-io MusicXML': async () => {
    const text = writeMusicXml(longPassage());
    const { parse } = await import('musicxml-io');
    return () => parse(text).parts.length;
  },
  'our ABC': async () => {
    const text = writeAbc(longPassage());
    const { readAbc } = await import('../../src/notation/abc/reader.ts');
    return async () => (await readAbc(text, 'long')).noteCount;
  },
  'abcjs ABC': async () => {
    const text = writeAbc(longPassage());
    const { default: abcjs } = await import('abcjs');
    return () => abcjs.parseOnly(text).length;
  },
};

/** In a process of its own: the first reading (cold) and the best of five, and what memory it took over the start. */
async function measure(name: string): Promise<void> {
  const read = await READERS[name]!();
  globalThis.gc?.();
  const before = process.memoryUsage().rss;
  const times: number[] = [];
  for (let i = 0; i < 6; i += 1) {
    const started = performance.now();
    await read();
    times.push(performance.now() - started);
    if (i === 0) process.stdout.write(`${Math.round((process.memoryUsage().rss - before) / 1048576)} `);
  }
  process.stdout.write(`${times[0]!.toFixed(0)} ${Math.min(...times).toFixed(0)} ${await read()}\n`);
}

export function benchNotation(): void {
  console.log(`A score of ${NOTES} notes (budget: ${BUDGET_MS} ms, ${BUDGET_MB} MB)`);
  for (const name of Object.keys(READERS)) {
    const file = fileURLToPath(import.meta.url);
    const run = spawnSync(process.execPath, ['--expose-gc', '--import', 'tsx', file, name], {
      encoding: 'utf8',
    });
    const [memory, cold, best, result] = run.stdout.trim().split(' ');
    console.log(
      `${name.padEnd(22)} cold ${cold} ms, best ${best} ms, memory +${memory} MB (result ${result})`,
    );
    if (run.status !== 0) console.error(run.stderr);
  }
}

// Run by itself, with the name of a reader where one is to be measured in its own process.
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const chosen = process.argv[2];
  if (chosen === undefined) benchNotation();
  else {
    measure(chosen).catch((error: unknown) => {
      console.error(error);
      process.exitCode = 1;
    });
  }
}
