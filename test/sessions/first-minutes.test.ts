// A wind player's first five minutes: an instrument that sends what is read, another transposition, an octave, an entry on
// the wrong beat. The notes are right and the place is not: each is told as that after the first take, and what the
// instrument does by itself is offered by name and taken by one key. Intervals of transposing instruments: MusicXML 4.0,
// transpose element (clarinet in B flat sounds 2 semitones lower, alto saxophone 9).

import { describe, expect, it } from 'vitest';
import { spellingName, spellPitch } from '../../src/music/pitch.ts';
import { noticeWords } from '../../src/wording/notice.ts';
import { takeSentence } from '../../src/wording/sentence.ts';
import { playScript, readScript } from './script.ts';

const WRITTEN = [60, 62, 64, 65, 67, 69, 67];
/** Seconds at 60 a minute. */
const TIMES = [0, 0.5, 1, 1.5, 2, 3, 4];
const ENTRY = 5.5;

function tune(instrument: string, music: string): string {
  return ['X:1', 'T:Ours', `%%fettle-instrument ${instrument}`, 'M:4/4', 'L:1/8', 'Q:1/4=60', 'K:C', music]
    .map((line) => `abc ${line}`)
    .join('\n');
}

function take(from: number, semitones: number, notes = WRITTEN.length): string {
  return WRITTEN.slice(0, notes)
    .map((pitch, i) => {
      const name = spellingName(spellPitch(pitch + semitones, 0));
      const at = from + TIMES[i]!;
      return `${at.toFixed(3)} on ${name}\n${(at + 0.45).toFixed(3)} off ${name}`;
    })
    .join('\n');
}

async function said(instrument: string, drill: string, script: string, music = 'CDEF G2A2 | G4 |]') {
  const text = `${tune(instrument, music)}\nset tempo 60\nset passes 1\nset drill ${drill}\nset tolerance steady\n${script}`;
  const { effects, session } = playScript(await readScript(text));
  const verdicts: { clean: boolean; sentence: string }[] = [];
  const notices: string[] = [];
  for (const effect of effects) {
    if (effect.type !== 'news') continue;
    if (effect.news.kind === 'verdict')
      verdicts.push({
        clean: effect.news.clean,
        sentence: takeSentence(effect.news.report, session.plan.span.passage),
      });
    if (effect.news.kind === 'notice') notices.push(noticeWords(effect.news.notice));
  }
  return { verdicts, notices };
}

const FIRST = take(ENTRY, 0, 4);

describe.each([
  ['clarinet', -2],
  ['alto-sax', -9],
])('with a %s that sends what is read', (instrument, transposition) => {
  it.each(['through', 'landings'])(
    'says so after the first take of %s, and o takes it from then on',
    async (drill) => {
      const { notices } = await said(instrument, drill, `${FIRST}\n12 look`);
      expect(notices).toEqual([
        'It sounds as if your instrument sends what you read: press o to take that as right.',
      ]);
    },
  );

  it('is clean after o, and was not before', async () => {
    // Pressed at 12 s: 0.7 s and a bar's lead-in later it is entered.
    const { verdicts } = await said(
      instrument,
      'through',
      `${take(ENTRY, 0)}\n12 press octave\n${take(16.7, 0)}\n24 look`,
    );
    expect(verdicts.map(({ clean }) => clean)).toEqual([false, true]);
    expect(verdicts[0]!.sentence).toMatch(
      new RegExp(
        `^Right, but all ${-transposition} semitones too high: look at the instrument's transposition`,
      ),
    );
  });
});

describe('with an instrument set to another pitch', () => {
  it.each([
    [
      'another transposition',
      3,
      /^Right, but all 3 semitones too high/,
      'You sound 3 semitones above the passage',
    ],
    [
      'a whole octave below',
      -12,
      /^Right, but all an octave too low/,
      'You sound an octave below the passage',
    ],
    ['two octaves above', 24, /^Right, but all 2 octaves too high/, 'You sound 2 octaves above the passage'],
  ])('%s is told once, offered and taken', async (_, semitones, told, offered) => {
    const { verdicts, notices } = await said(
      'clarinet',
      'through',
      `${take(ENTRY, semitones - 2)}\n12 press octave\n${take(16.7, semitones - 2)}\n24 look`,
    );
    expect(verdicts.map(({ clean }) => clean)).toEqual([false, true]);
    expect(verdicts[0]!.sentence).toMatch(told);
    expect(notices[0]).toBe(`${offered}: press o to take that as right.`);
  });
});

describe('a scale in slow notes, in another transposition', () => {
  // Two notes are heard before the run stops, and they are two notes of the same scale farther on.
  it('is offered after the second take, and nobody is told to try another fingering', async () => {
    const slow = (from: number) =>
      [62, 64, 66].map((pitch, i) => `${from + i} on ${spellingName(spellPitch(pitch, 0))}`).join('\n');
    const { notices } = await said(
      'keyboard',
      'through',
      `${slow(5.5)}\n${slow(12.5)}\n16 look`,
      'C2 D2 E2 F2 | G4 |]',
    );
    expect(notices).toEqual(['You sound 2 semitones above the passage: press o to take that as right.']);
  });
});

describe('an entry on the wrong beat', () => {
  it.each([
    ['a beat early', -1],
    ['a beat late', 1],
    ['half a beat late', 0.5],
    ['2 beats late', 2],
    ['2 beats early', -2],
  ])('%s is told once as that, and no octave or transposition is offered', async (words, beats) => {
    const { verdicts, notices } = await said('clarinet', 'through', `${take(ENTRY + beats, -2)}\n14 look`);
    expect(verdicts[0]).toEqual({
      clean: false,
      sentence: `You came in ${words}; the notes are right: count the lead-in aloud and come in with it.`,
    });
    expect(notices).toEqual([]);
  });
});
