import { describe, expect, it } from 'vitest';
import { loadPassage } from '../../src/commands/passage-argument.ts';
import type { Lesson } from '../../src/lesson/lesson.ts';
import { lessonText, readLesson } from '../../src/lesson/lesson-text.ts';
import type { Passage } from '../../src/music/passage.ts';
import { line } from '../drills/line.ts';
import { madeLesson } from './made-lesson.ts';

const passage = await loadPassage('slipway', {});
const lesson = madeLesson(passage, [
  { due: '2026-12-03', word: 'Keep the air moving.', snag: '10', goal: 60, drill: 'widening' },
]);

function trouble(text: string): string {
  const read = readLesson(text, 'monday.lesson');
  return read.ok ? 'none' : `${read.problem.code}: ${read.problem.message}`;
}

/** The lesson's file with a change in what it holds. */
function changed(change: (file: Record<string, unknown>) => void): string {
  const file = JSON.parse(lessonText(lesson)) as Record<string, unknown>;
  change(file);
  return JSON.stringify(file);
}

describe('a lesson', () => {
  it('comes back from its file as it was, however the file is laid out', () => {
    for (const text of [
      lessonText(lesson),
      JSON.stringify(JSON.parse(lessonText(lesson))),
      `\uFEFF${lessonText(lesson).replaceAll('\n', '\r\n')}`,
    ]) {
      const read = readLesson(text, 'monday.lesson');
      expect(read.ok && read.value).toStrictEqual(JSON.parse(JSON.stringify(lesson)));
    }
  });

  it('has what a teacher may want to mend before the music, a line each', () => {
    const lines = lessonText(lesson).split('\n');
    const music = lines.findIndex((text) => text.includes('"passages"'));
    for (const text of ['"due": "2026-12-03"', '"goal": 60', '"word": "Keep the air moving."'])
      expect(lines.findIndex((one) => one.includes(text))).toSatisfy((at: number) => at > 0 && at < music);
  });

  it.each([
    ['nothing', '', 'lesson.not-one: Cannot read monday.lesson: it is something else, no lesson'],
    ['a lesson that is cut off', lessonText(lesson).slice(0, 900), 'lesson.not-one'],
    ['a newer one', changed((file) => (file.format = 2)), 'lesson.newer'],
    [
      'a practice record',
      '{"fettle":"practice record","format":2}\n{"take":{}}',
      'it is a practice record that was exported, no lesson',
    ],
    [
      'an option that it does not know',
      changed((file) => Object.assign((file.assignments as object[])[0]!, { tempos: 3 })),
      'assignments.0.tempos',
    ],
    [
      'a tempo out of range',
      changed((file) => Object.assign((file.assignments as object[])[0]!, { tempo: 4000 })),
      'assignments.0.tempo',
    ],
    [
      'a field that is misspelt',
      changed((file) => Object.assign((file.assignments as object[])[0]!, { tempoo: 66 })),
      '(assignments.0.tempoo: there is no such field)',
    ],
    [
      'a field that is missing',
      changed((file) => {
        delete (file.assignments as { tempo?: number }[])[0]!.tempo;
      }),
      '(assignments.0.tempo: it is missing)',
    ],
    ['no assignment', changed((file) => (file.assignments = [])), 'assignments'],
    [
      'bars that are not there',
      changed((file) => Object.assign((file.assignments as object[])[0]!, { bars: '77' })),
      'Cannot use assignment 1 of monday.lesson',
    ],
    [
      'music that is not there',
      changed((file) => (file.passages = {})),
      'the music of assignment 1 is not in it',
    ],
    [
      'music with a note changed',
      changed((file) => {
        const [music] = Object.values(file.passages as Record<string, Passage>);
        Object.assign(music!.onsets[3]!.notes[0]!, { pitch: 61 });
      }),
      '"Slipway at First Light" in it is not as it was when the lesson was made',
    ],
    [
      'music with a damaged note',
      changed((file) => {
        const [music] = Object.values(file.passages as Record<string, Passage>);
        Object.assign(music!.onsets[3]!.notes[0]!, { pitch: 'C' });
      }),
      '"Slipway at First Light" in it is damaged (onsets.3.notes.0.pitch',
    ],
  ])('is refused with a sentence that names it: %s', (_, text, said) => {
    expect(trouble(text)).toContain(said);
  });

  it.each<[string, (music: Passage) => Passage]>([
    [
      'bars with a gap',
      (m) => ({ ...m, bars: m.bars.map((bar, i) => ({ ...bar, startTick: bar.startTick + i })) }),
    ],
    ['onsets in no order', (m) => ({ ...m, onsets: m.onsets.toReversed() })],
    ['onsets past the end', (m) => ({ ...m, endTick: 5040 })],
    ['no key', (m) => ({ ...m, keys: [] })],
    ['notes of no part', (m) => ({ ...m, parts: [] })],
    ['an unknown instrument', (m) => ({ ...m, parts: [{ name: 'x', instrument: 'kazoo' as never }] })],
    [
      'an onset of grace notes alone',
      (m) => ({
        ...m,
        onsets: m.onsets.map(({ tick, notes }) => ({
          tick,
          notes: notes.map((note) => ({ ...note, ornament: 'grace' as const })),
        })),
      }),
    ],
  ])('is refused where its music does not fit together, be its fingerprint right: %s', (_, spoil) => {
    const spoilt: Lesson = madeLesson(spoil(line('C4 D4 E4 F4 G4 A4 B4 C5 C4 D4 E4 F4 G4 A4 B4 C5')), [
      { bars: '1' },
    ]);
    expect(trouble(lessonText(spoilt))).toContain('lesson.passage');
  });
});
