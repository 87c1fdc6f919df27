// MusicXML against verovio 6.3.0 (LGPL-3.0, development only): our writer's scores, and our reading of them, against
// what verovio plays. It reads note values, tuplets, ties and transposition by itself; in its MIDI files a note ends
// one tick early, and grace notes take time from their main note, so these are left out.

import { VerovioToolkit } from 'verovio/esm';
import createVerovioModule from 'verovio/wasm';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Passage } from '../../../src/music/passage.ts';
import { readMusicXml } from '../../../src/notation/musicxml/reader.ts';
import { writeMusicXml } from '../../../src/notation/musicxml/writer.ts';
import { sample } from '../../sample.ts';
import { BUNDLED_FILES, bundledPassage, bundledText } from '../bundled.ts';
import { generatedPassage } from '../generated-passage.ts';
import { disagreement, type HeardFile, notesOfMidi } from '../midi-notes.ts';

let play: (score: string) => HeardFile;

beforeAll(async () => {
  const toolkit = new VerovioToolkit(await createVerovioModule());
  toolkit.setOptions({ breaks: 'none', header: 'none', footer: 'none' });
  play = (score) => {
    if (!toolkit.loadData(score)) throw new Error('verovio does not load the score');
    return notesOfMidi(Buffer.from(toolkit.renderToMIDI(), 'base64'));
  };
});

function withoutGraceNotes(passage: Passage): Passage {
  const onsets = passage.onsets.map((onset) => ({
    ...onset,
    notes: onset.notes.filter((note) => note.ornament !== 'grace'),
  }));
  return { ...passage, onsets };
}

describe('verovio plays what we write', () => {
  it.each(BUNDLED_FILES)('%s', async (file) => {
    const passage = withoutGraceNotes(await bundledPassage(file));
    expect(disagreement(passage, play(writeMusicXml(passage)))).toEqual({ missing: [], added: [] });
  });

  // `npm run test:opinions` takes all 200: verovio needs some 50 ms a score.
  const scores = process.env.FETTLE_ALL_OPINIONS ? 200 : sample(60, 4);

  it(`in ${scores} scores made at random`, () => {
    const failed: unknown[] = [];
    for (let seed = 1; seed <= scores; seed += 1) {
      const passage = generatedPassage(seed, {
        ornaments: false,
        marks: false,
        overlaps: false,
        septuplets: false,
        bars: 1 + (seed % 3),
      });
      const { missing, added } = disagreement(passage, play(writeMusicXml(passage)));
      if (missing.length + added.length > 0) failed.push({ seed, missing: missing[0], added: added[0] });
    }
    expect(failed).toEqual([]);
  });
});

it('verovio and we read the bundled MusicXML alike', () => {
  const file = BUNDLED_FILES.find((name) => name.endsWith('.musicxml'))!;
  const { passage } = readMusicXml(bundledText(file), file);
  expect(disagreement(passage!, play(bundledText(file)))).toEqual({ missing: [], added: [] });
});
