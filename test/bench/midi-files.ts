// `npx tsx test/bench/midi-files.ts`: reading, writing and quantising 5,000 notes; @tonejs/midi beside on the same
// file. And the share of notes that the quantiser puts right, over 100 players a rhythm, at 60 to the minute with a
// motor SD of 20 ms (the tests take fewer players).

import toneMidi from '@tonejs/midi';
import { readMidiFile } from '../../src/notation/midi-file/reader.ts';
import { readTake } from '../../src/notation/midi-file/take.ts';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import { writeMidiFile } from '../../src/notation/midi-file/writer.ts';
import { quantise } from '../../src/notation/transcription/quantise.ts';
import { lots } from '../notation/generated-passage.ts';
import { madePassage } from '../notation/made-passage.ts';
import { CELLS, play, writeCells } from '../notation/simulated-player.ts';

const Q = 10_080;
const settings = { tempo: { bpm: 60, beatTicks: Q }, meter: { count: 4, unit: 4 }, zeroMicros: 0 };

function timed<T>(what: string, work: () => T): T {
  work();
  const times = Array.from({ length: 5 }, () => {
    const before = performance.now();
    work();
    return performance.now() - before;
  }).sort((a, b) => a - b);
  console.log(`${what}: ${times[2]!.toFixed(1)} ms (median of 5)`);
  return work();
}

const long = madePassage(
  Array.from({ length: 5000 }, (_, i) => ({ at: i / 4, length: 0.25, pitch: 60 + ((i * 7) % 24) })),
  { instruments: ['flute'] },
);
const file = timed('write a passage of 5,000 notes', () => writeMidiFile(long));
timed('read it as a passage', () => readMidiFile(file, 'long.mid'));
timed('read it with @tonejs/midi', () => new toneMidi.Midi(file));
const names = Array.from({ length: 1400 }, (_, i) => Object.keys(CELLS)[(i * 5) % 12]!);
const played = play(writeCells(names, Q, lots(1)), {
  seed: 1,
  bpm: 60,
  beatTicks: Q,
  motorSdMicros: 15_000,
  clockSdMicros: 8_000,
  correction: 0.25,
});
const take = timed(`write a take of ${played.length} notes`, () =>
  writeTake(played.map((n) => ({ ...n, onMicros: Math.max(0, n.onMicros), velocity: 64 }))),
);
timed('read it as a take', () => readTake(take));
timed(`quantise ${played.length} notes`, () => quantise(played, settings));

const styles: Readonly<Record<string, readonly string[]>> = {
  'eighths and sixteenths': ['plain', 'halves', 'quarters', 'long-short-short', 'short-short-long'],
  triplets: ['plain', 'triplet', 'triplet', 'halves'],
  'duplets against triplets': ['plain', 'halves', 'quarters', 'triplet', 'long-short-short'],
  'dotted rhythms': ['plain', 'halves', 'dotted', 'dotted', 'quarters'],
  'long-short triplets': ['plain', 'long-short triplet', 'triplet'],
  syncopations: ['plain', 'short-long-short', 'halves', 'short-dotted', 'quarters'],
  rests: ['plain', 'half rest', 'offbeat', 'silence', 'halves', 'quarters', 'triplet'],
  'every rhythm at once': Object.keys(CELLS),
};
for (const [style, cells] of Object.entries(styles)) {
  let [notes, places, lengths] = [0, 0, 0];
  for (let seed = 1; seed <= 100; seed++) {
    const random = lots(seed * 15_485_863);
    const line = ['plain', ...Array.from({ length: 31 }, () => cells[Math.floor(random() * cells.length)]!)];
    const written = writeCells(line, Q, random);
    const lagMicros = (random() * 80 - 60) * 1000;
    const traits = { seed, bpm: 60, beatTicks: Q, motorSdMicros: 20_000, clockSdMicros: 10_000 };
    const { onsets } = quantise(play(written, { ...traits, correction: 0.25, lagMicros }), settings);
    const read = new Map(
      onsets.flatMap((o) => o.notes.map((n) => [n.captured, { ...n, tick: o.tick }] as const)),
    );
    written.forEach((note, i) => {
      notes++;
      if (read.get(i)?.tick === note.tick) places++;
      if (read.get(i)?.durationTicks === note.durationTicks) lengths++;
    });
  }
  const share = (n: number) => `${((100 * n) / notes).toFixed(2)} %`;
  console.log(`${style}: ${notes} notes, places ${share(places)}, lengths ${share(lengths)}`);
}
