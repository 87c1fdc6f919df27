// `npm run fuzz [INPUTS]`: 10,000 damaged inputs (or so many) for every reader; prints what came of them, the slowest
// one and the memory at its highest. Fails at the first crash, hang or broken word.

import { fuzzMidiFiles } from './midi-file.ts';
import { type FuzzedReader, fuzz, READERS } from './readers.ts';

const inputs = Number(process.argv[2] ?? 10_000);

async function main(): Promise<void> {
  for (const reader of READERS) {
    try {
      await one(reader);
    } catch (error) {
      console.error(error);
      process.exitCode = 1;
    }
  }
  const takes = fuzzMidiFiles(inputs, 20_261, () => performance.now());
  console.log(
    `takes and tracks of MIDI files: ${inputs} inputs, ${takes.refused} refused, ${takes.read} read, ${takes.faults.length} faults`,
  );
  if (takes.faults.length > 0) {
    console.error(takes.faults[0]);
    process.exitCode = 1;
  }
  console.log(`memory at its highest: ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`);
}

async function one(reader: FuzzedReader): Promise<void> {
  const { passages, errors, slowestMs } = await fuzz(reader, 0, inputs, () => performance.now());
  const memory = Math.round(process.memoryUsage().rss / 1024 / 1024);
  console.log(
    `${reader.name}: ${inputs} inputs, ${errors} refused, ${passages} read, slowest ${Math.round(slowestMs)} ms, ${memory} MB`,
  );
}

main().catch((error: unknown) => {
  console.error(error);
  process.exitCode = 1;
});
