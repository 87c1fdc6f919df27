// The readers that are fed with damaged inputs, each with sound inputs to damage. One line a reader.

import { strToU8 } from 'fflate';
import type { Passage } from '../../src/music/passage.ts';
import { readAbc } from '../../src/notation/abc/reader.ts';
import { writeAbc } from '../../src/notation/abc/writer.ts';
import { readMidiFile } from '../../src/notation/midi-file/reader.ts';
import { writeMidiFile } from '../../src/notation/midi-file/writer.ts';
import { readMxl, writeMxl } from '../../src/notation/musicxml/mxl.ts';
import { readMusicXml } from '../../src/notation/musicxml/reader.ts';
import { writeMusicXml } from '../../src/notation/musicxml/writer.ts';
import { readPassageBytes } from '../../src/notation/read.ts';
import { type FileReading, IssueList } from '../../src/notation/reading.ts';
import { decodeText } from '../../src/notation/text.ts';
import { generatedPassage } from '../notation/generated-passage.ts';
import { mutated } from './mutation.ts';

export interface FuzzedReader {
  readonly name: string;
  readonly write: (passage: Passage) => Uint8Array;
  readonly read: (bytes: Uint8Array) => FileReading | Promise<FileReading>;
}

export const READERS: readonly FuzzedReader[] = [
  { name: 'ABC', write: (p) => strToU8(writeAbc(p)), read: asText((t) => readAbc(t, 'f.abc')) },
  {
    name: 'MusicXML',
    write: (p) => strToU8(writeMusicXml(p)),
    read: asText((t) => readMusicXml(t, 'f.musicxml')),
  },
  { name: '.mxl', write: writeMxl, read: (bytes) => readMxl(bytes, 'f.mxl') },
  { name: 'MIDI file', write: writeMidiFile, read: (bytes) => readMidiFile(bytes, 'f.mid') },
  { name: 'any file', write: (p) => strToU8(writeAbc(p)), read: (bytes) => readPassageBytes(bytes, 'f') },
];

function asText(read: (text: string) => FileReading | Promise<FileReading>): FuzzedReader['read'] {
  return (bytes) => {
    const issues = new IssueList();
    const text = decodeText(bytes, 'f', issues);
    return text === undefined ? { issues: issues.list(), noteCount: 0 } : read(text);
  };
}

export interface FuzzCount {
  readonly inputs: number;
  readonly passages: number;
  readonly errors: number;
  readonly slowestMs: number;
}

/** Longest that one small input may take on a busy machine. */
const HANG_MS = 3000;

/** Throws, naming the seed, at the first input that crashes a reader, hangs it or makes it break its word. */
export async function fuzz(
  reader: FuzzedReader,
  from: number,
  inputs: number,
  now: () => number,
): Promise<FuzzCount> {
  let passages = 0;
  let slowestMs = 0;
  let sound = new Uint8Array();
  for (let seed = from; seed < from + inputs; seed += 1) {
    if (seed % 50 === 0 || seed === from) sound = Uint8Array.from(reader.write(generatedPassage(seed)));
    const bytes = mutated(sound, seed);
    const started = now();
    let reading: FileReading;
    try {
      reading = await reader.read(bytes);
    } catch (error) {
      throw new Error(`${reader.name}, seed ${seed}: the reader crashed`, { cause: error });
    }
    const took = now() - started;
    slowestMs = Math.max(slowestMs, took);
    if (took > HANG_MS) throw new Error(`${reader.name}, seed ${seed}: took ${Math.round(took)} ms`);
    keepsItsWord(reading, `${reader.name}, seed ${seed}`);
    if (reading.passage) passages += 1;
  }
  return { inputs, passages, errors: inputs - passages, slowestMs };
}

/** No passage exactly when there is an error; and a passage that is whole. */
function keepsItsWord({ passage, issues, noteCount }: FileReading, where: string): void {
  const failed = issues.some((issue) => issue.severity === 'error');
  if (failed === (passage !== undefined)) throw new Error(`${where}: passage and errors do not fit together`);
  if (!passage) return;
  const notes = passage.onsets.flatMap((onset) => onset.notes);
  if (notes.length !== noteCount || notes.length === 0) throw new Error(`${where}: the notes are miscounted`);
  for (const { pitch, durationTicks, ornament } of notes) {
    const fits = Number.isInteger(pitch) && pitch >= 0 && pitch <= 127 && Number.isInteger(durationTicks);
    if (!fits || (durationTicks <= 0 && ornament !== 'grace')) throw new Error(`${where}: a note is broken`);
  }
  let tick = -1;
  for (const onset of passage.onsets) {
    if (!(onset.tick > tick) || onset.tick > passage.endTick)
      throw new Error(`${where}: an onset is out of order`);
    tick = onset.tick;
  }
  let end = 0;
  for (const bar of passage.bars) {
    if (bar.startTick !== end || !(bar.durationTicks > 0)) throw new Error(`${where}: bars leave a gap`);
    end += bar.durationTicks;
  }
  if (end !== passage.endTick || !(passage.tempo.bpm > 0)) throw new Error(`${where}: the end does not fit`);
}
