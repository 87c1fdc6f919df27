// ABC against abc2midi (Debian package abcmidi, GPL-2+, run as a program): what we write, and tunes typed here that
// both read. Its own habits are turned off: chords spread by chordattack, fermatas held, grace notes played.

import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Passage } from '../../../src/music/passage.ts';
import { readAbc } from '../../../src/notation/abc/reader.ts';
import { writeAbc } from '../../../src/notation/abc/writer.ts';
import { ownFolder } from '../../own-folder.ts';
import { sample } from '../../sample.ts';
import { BUNDLED_FILES, bundledPassage, bundledText } from '../bundled.ts';
import { generatedPassage } from '../generated-passage.ts';
import { disagreement, notesOfMidi } from '../midi-notes.ts';

const installed = spawnSync('abc2midi', ['-ver']).error === undefined;
const folder = ownFolder();

if (!installed) {
  console.warn('abc2midi is not installed (Debian: apt-get install abcmidi): its second opinion is skipped');
}

/** All texts in one run of the shell: one process each would take longer than the music. */
function playAll(texts: readonly string[]) {
  texts.forEach((text, i) => {
    writeFileSync(join(folder, `t${i}.abc`), text.replace(/^(M:.*)$/m, '%%MIDI chordattack 0\n$1'));
  });
  const loop = `for i in $(seq 0 ${texts.length - 1}); do abc2midi t$i.abc 1 -o t$i.mid -NGUI -NGRA -NFER -silent; done`;
  execFileSync('sh', ['-c', `${loop} > log.txt 2>&1 || true`], { cwd: folder });
  return texts.map((_, i) => notesOfMidi(readFileSync(join(folder, `t${i}.mid`))));
}

function compare(passages: readonly Passage[], texts: readonly string[]): unknown[] {
  const heard = playAll(texts);
  return passages.flatMap((passage, i) => {
    const { missing, added } = disagreement(passage, heard[i]!);
    return missing.length + added.length > 0
      ? [{ title: passage.title, missing: missing[0], added: added[0] }]
      : [];
  });
}

describe.skipIf(!installed)('abc2midi plays what we write', () => {
  it('of the bundled passages', async () => {
    const passages = await Promise.all(BUNDLED_FILES.map(bundledPassage));
    expect(compare(passages, passages.map(writeAbc))).toEqual([]);
  });

  it('in tunes made at random', () => {
    const passages = Array.from({ length: sample(200, 14) }, (_, seed) =>
      // Its 480 ticks of a quarter do not divide by 7: lengths of septuplets drift.
      generatedPassage(seed, { ornaments: false, marks: false, overlaps: false, septuplets: false }),
    );
    expect(compare(passages, passages.map(writeAbc))).toEqual([]);
  });
});

/** Music only: the header is added. Each is about one thing that ABC 2.1 says. */
const TYPED: Readonly<Record<string, string>> = {
  'repeats and endings': '|: CDEF GABc |1 c4 G4 :|2 c8 |: e4 d4 :| C8 |]',
  'a repeat from the beginning and a double repeat mark': 'CDEF GABc :: c4 G4 :| C8 |]',
  'three endings': '|: C8 |1,3 D8 :|2 E8 :|4 F8 |]',
  'broken rhythm of one, two and three dots': 'A>B c<d e>>f g<<a | b>>>a g<<<f e>d c<B |',
  'broken rhythm between chords and rests': '[CE]>[DF] z>G A<z c>[Gc] |',
  'tuplets of 2 to 9': '(3ABc (2AB (4ABcd | (5ABcde (6ABcdef | (7ABcdefg (9abcdefgab |',
  'tuplets with all three numbers': '(3:2:4 A2B2cd (3:2:2 A2B B2 | (3::2 A2B (5:4:5 ABcde z |',
  'accidentals through the bar': '^F G F =F F _B | B B, ^c c =c c, |',
  'ties over bars, in chords and single notes of chords': 'A4- A2 A2- | A2 [CEG]2- [CEG]4 | [C-E]4 [CG]4 |',
  'a tie that carries its accidental over the bar line': '^f8- | ^f4 f4 |',
  'keys and meters inside': 'CDEF GABc | [K:A] CDEF GABc | [M:3/4] CDE FGA | [K:Cm] CDE FGB |',
  'unit lengths inside': 'CDEF GABc | [L:1/16] C2D2E2F2 G2A2B2c2 | [L:1/4] CDEF |',
  'octaves and lengths': "C,,2 C,2 C2 c2 | c'2 c''2 A/A/ A/4A/4A/4A/4 A// A// A/ | A3/2 A/ A7/4 A/4 A4 |",
  'rests of all kinds': 'z2 x2 z/z/ z A2 | Z | Z2 | A8 |',
  'voices in an overlay': 'c8 & E4 F4 | d4 e4 & G8 |',
  'chords with a length inside or outside': '[C2E2G2] z2 [CEG]4 | [C/E/] z3/2 [CE]6 |',
  'inline tempo, slurs and bowing': '(AB) vc ud [Q:1/4=90] (3(efg) a2 |',
};

describe.skipIf(!installed)('abc2midi and we read alike', () => {
  it.each(Object.entries(TYPED))('%s', async (title, music) => {
    const text = `X:1\nT:${title}\nM:4/4\nL:1/8\nQ:1/4=80\n%%propagate-accidentals octave\nK:C\n${music}\n`;
    const { passage, issues } = await readAbc(text, 'typed');
    expect(issues.filter((issue) => issue.severity === 'error')).toEqual([]);
    expect(compare([passage!], [text])).toEqual([]);
  });

  it('every bundled tune as it stands in its file', async () => {
    const files = BUNDLED_FILES.filter((name) => name.endsWith('.abc'));
    const passages = await Promise.all(files.map(bundledPassage));
    // Our own header says how an instrument sounds; abc2midi has one of its own.
    const texts = files.map((file, i) => {
      const { notes } = passages[i]!.onsets[0]!;
      const written = { clarinet: -2, 'alto-sax': -9, 'tenor-sax': -14 } as Record<string, number>;
      const semitones = written[passages[i]!.parts[notes[0]!.part]!.instrument] ?? 0;
      return bundledText(file).replace(/^(M:.*)$/m, `%%MIDI transpose ${semitones}\n$1`);
    });
    expect(compare(passages, texts)).toEqual([]);
  });
});
