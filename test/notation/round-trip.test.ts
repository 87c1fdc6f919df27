// What is written reads back as the same passage: passages made at random in each form, and the bundled ones.

import fc from 'fast-check';
import { parse, serialize } from 'musicxml-io';
import { describe, expect, it } from 'vitest';
import type { Passage } from '../../src/music/passage.ts';
import { readAbc } from '../../src/notation/abc/reader.ts';
import { writeAbc } from '../../src/notation/abc/writer.ts';
import { readMxl, writeMxl } from '../../src/notation/musicxml/mxl.ts';
import { readMusicXml } from '../../src/notation/musicxml/reader.ts';
import { writeMusicXml } from '../../src/notation/musicxml/writer.ts';
import type { FileReading } from '../../src/notation/reading.ts';
import { sample } from '../sample.ts';
import { BUNDLED_FILES, bundledPassage } from './bundled.ts';
import { generatedPassage } from './generated-passage.ts';

type RoundTrip = (passage: Passage) => FileReading | Promise<FileReading>;

const FORMS: [form: string, roundTrip: RoundTrip][] = [
  ['ABC', (p) => readAbc(writeAbc(p), p.name)],
  ['MusicXML', (p) => readMusicXml(writeMusicXml(p), p.name)],
  ['compressed MusicXML', (p) => readMxl(writeMxl(p), p.name)],
];

describe.each(FORMS)('%s', (form, roundTrip) => {
  it('gives back passages made at random, without an issue', async () => {
    const runs = form === 'compressed MusicXML' ? sample(30, 6) : sample(300, 30);
    await fc.assert(
      fc.asyncProperty(fc.nat(1_000_000), async (seed) => {
        const passage = generatedPassage(seed);
        const reading = await roundTrip(passage);
        expect(reading.issues).toEqual([]);
        expect(reading.passage).toEqual(passage);
      }),
      { numRuns: runs },
    );
  });

  it.each(BUNDLED_FILES)('gives back %s', async (file) => {
    const passage = await bundledPassage(file);
    expect((await roundTrip(passage)).passage).toEqual(passage);
  });

  it('gives back a passage whose repeats were played out, printed numbers and pickups kept', async () => {
    const text =
      'X:1\nT:Turns\nM:4/4\nL:1/8\nQ:1/4=80\nK:G\n|: D2 | G8- |1 G6 :|2 A6 B2 |: [Q:1/4=60] c8 :| !fermata!G6 |]\n';
    const passage = (await readAbc(text, 'turns')).passage!;
    expect(passage.bars.map((b) => b.number).join(' ')).toBe('0 1 2 0 1 3 4 4 5');
    expect((await roundTrip(passage)).passage).toEqual(passage);
  });

  it('keeps title, composer and names with signs that mean something to the form', async () => {
    const base = await bundledPassage('slipway.abc');
    const passage: Passage = {
      ...base,
      title: 'Half & half: <50 %> of "it" \\ done',
      composer: 'for A & B',
      parts: [{ name: "Bosun's <pipe>", instrument: 'clarinet' }],
    };
    expect((await roundTrip(passage)).passage).toEqual(passage);
  });
});

// musicxml-io 0.9.6 (MIT, development only) cuts tempos to whole numbers and knows one tempo.
it('MusicXML that musicxml-io has read and written again says the same', () => {
  for (let seed = 0; seed < sample(100, 12); seed += 1) {
    const made = generatedPassage(seed);
    const tempo = { ...made.tempo, bpm: Math.round(made.tempo.bpm) };
    const passage = { ...made, tempo, tempoChanges: [] };
    const reading = readMusicXml(serialize(parse(writeMusicXml(passage))), passage.name);
    expect(reading.passage).toEqual(passage);
  }
});

it('writes the same bytes for the same passage', async () => {
  const passage = await bundledPassage('slipway.abc');
  expect(writeMxl(passage)).toEqual(writeMxl(passage));
});

it('the bundled MusicXML says what its ABC says', async () => {
  const xml = await bundledPassage('crosstide.musicxml');
  const abc = await bundledPassage('crosstide.abc');
  expect({ ...xml, name: '' }).toEqual({ ...abc, name: '' });
});
