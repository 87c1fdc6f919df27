import fc from 'fast-check';
import { parse } from 'musicxml-io';
import { describe, expect, it } from 'vitest';
import { findDrill } from '../../src/drills/catalogue.ts';
import { onsetsOfAll } from '../../src/drills/step.ts';
import { INSTRUMENTS } from '../../src/music/instrument.ts';
import { barTicks } from '../../src/music/meter.ts';
import type { Passage } from '../../src/music/passage.ts';
import { spellingName, spellingToPitch } from '../../src/music/pitch.ts';
import { type Span, wholeSpan } from '../../src/music/span.ts';
import { readMusicXml } from '../../src/notation/musicxml/reader.ts';
import { writeMusicXml } from '../../src/notation/musicxml/writer.ts';
import { makeSheet, sheetMusic } from '../../src/sheet/make-sheet.ts';
import type { Sheet } from '../../src/sheet/sheet.ts';
import { sheetText } from '../../src/sheet/text-sheet.ts';
import { arbitrarySnag } from '../drills/arbitrary-passage.ts';
import { line } from '../drills/line.ts';
import { value } from '../drills/made.ts';
import { bundledPassage } from '../notation/bundled.ts';
import { sample } from '../sample.ts';

const DRILLS = ['landings', 'switchback', 'widening', 'tenuto', 'chain', 'through'];

function sheetOf(span: Span, drills: readonly string[], snag: number): Sheet {
  const { tempo } = span.passage;
  return value(
    makeSheet(span, {
      drills,
      settings: { tempo, snags: [snag] },
      goalBpm: tempo.bpm,
      subtitle: ['', ''],
    }),
  );
}

/** Sounding pitches in order, grace notes left out. */
function pitches(onsets: Passage['onsets']): number[][] {
  return onsets.map(({ notes }) => notes.filter((n) => n.ornament !== 'grace').map((n) => n.pitch));
}

function section(sheet: Sheet, heading: string): Passage {
  return sheet.sections.find((one) => one.heading === heading)!.music;
}

function marked(music: Passage, mark: 'fermata' | 'tenuto'): string[] {
  return music.onsets.flatMap(({ notes }) =>
    notes.filter((n) => n.articulations?.includes(mark)).map((n) => spellingName(n.spelling)),
  );
}

describe('a sheet', () => {
  const scale = wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5'));

  it('has a fermata where each run stops, on the written value of the note', () => {
    const music = section(sheetOf(scale, ['landings'], 3), 'Landings');
    const steps = value(value(findDrill('landings')).makeSteps(scale, { tempo: scale.passage.tempo }));
    const stops = steps.map((step) => spellingName(onsetsOfAll(step).at(-1)!.notes[0]!.spelling));
    expect(marked(music, 'fermata')).toEqual(stops);
    const longest = Math.max(...scale.passage.onsets.map(({ notes }) => notes[0]!.durationTicks));
    expect(Math.max(...music.onsets.map(({ notes }) => notes[0]!.durationTicks))).toBeLessThanOrEqual(
      longest,
    );
  });

  it('has one fermata over a chord, and not one for each of its notes', () => {
    const chords = wholeSpan(line('C4+E4+G4*2 D4+F4*2 C4+E4*2 C4*2'));
    const { onsets, rehearsalMarks } = section(sheetOf(chords, ['landings'], 1), 'Landings');
    const held = onsets.flatMap(({ notes }) => notes.filter((n) => n.articulations?.includes('fermata')));
    expect(held).toHaveLength(rehearsalMarks.length);
    expect(held.map(({ spelling }) => spellingName(spelling))).toEqual(['F4', 'E4', 'C4']);
  });

  it('keeps the clef of the passage in every drill, also where a drill goes high', () => {
    const low = wholeSpan(line('C2 D2 E2 F2 G2 A2 B2 C3 D3 E3 F3 G4 A4 B4 C5 G4', { instrument: 'bassoon' }));
    const high = { ...low, first: 12 };
    for (const { music } of sheetOf(high, ['landings', 'widening'], 13).sections)
      expect(writeMusicXml(music)).toContain('<clef number="1"><sign>F</sign><line>4</line></clef>');
  });

  it('has one tenuto sign over a leaned chord', () => {
    const chords = wholeSpan(line('C4+E4+G4*2 D4+F4*2 C4+E4*2 C4*2'));
    // Three of the four steps lean on the chord of D and F.
    expect(marked(section(sheetOf(chords, ['tenuto'], 2), 'Tenuto'), 'tenuto')).toEqual(['F4', 'F4', 'F4']);
  });

  it('has one fermata over a chord that is written with one on each of its notes', () => {
    const span = wholeSpan(line('C4+E4+G4*2 D4+F4*2 C4+E4*2 C4*2'));
    const [first, ...others] = span.passage.onsets;
    const held = first!.notes.map((note) => ({ ...note, articulations: ['fermata' as const] }));
    const passage = { ...span.passage, onsets: [{ ...first!, notes: held }, ...others] };
    for (const { heading, music } of sheetOf({ ...span, passage }, ['landings', 'through'], 1).sections)
      expect([heading, marked(music, 'fermata')[0], marked(music, 'fermata')[1] === 'E4']).toEqual([
        heading,
        'G4',
        false,
      ]);
  });

  // How notes over beats are written is common practice, no source.
  it('ties a note that goes on into another dotted beat, and leaves one that fills whole beats', () => {
    const values = (words: string, count: number) =>
      [
        ...writeMusicXml(line(words, { meter: { count, unit: 8 } })).matchAll(
          /<type>(\w+)<\/type>(<dot\/>)?/g,
        ),
      ]
        .map(([, type, dot]) => `${type}${dot ? '.' : ''}`)
        .join(' ');
    expect(values('C4*3 D4*4 E4 F4 G4*3', 12)).toBe('quarter. quarter. eighth eighth eighth quarter.');
    expect(values('C4*2 D4*2 E4*2', 6)).toBe('quarter eighth eighth quarter');
    expect(values('C4*6 D4*6', 12)).toBe('half. half.');
    expect(values('C4*9 D4*3', 12)).toBe('half. quarter. quarter.');
    // Of seven eighths nobody said where the groups are: a quarter stays one, the whole bar is no double dotted half.
    expect(values('C4*3 D4*2 E4*2', 7)).toBe('quarter. quarter quarter');
    expect(values('C4*7', 7)).toBe('half quarter.');
  });

  it('has one rest after a note that breaks off a tuplet, not one for each beat', () => {
    const music = line('C4/3 -/3 -/3 - - - - - - -');
    const rests = [...writeMusicXml(music).matchAll(/<rest\/>.*?<type>(\w+)<\/type>(<dot\/>)?/g)];
    expect(rests.slice(-2).map(([, type, dot]) => `${type}${dot ? '.' : ''}`)).toEqual(['16th', 'half.']);
  });

  it('has rests that fill their beat before they go on, in compound meter beat by beat', () => {
    const jig = line('C4 - - - - - C4/2', { meter: { count: 6, unit: 8 } });
    const rests = [...writeMusicXml(jig).matchAll(/<rest\/>.*?<type>(\w+)<\/type>((?:<dot\/>)*)/g)];
    expect(rests.map(([, type, dots]) => `${type}${dots === '' ? '' : '.'}`)).toEqual([
      ...['quarter', 'quarter.'],
      ...['16th', 'quarter', 'quarter.'],
    ]);
  });

  it('numbers the notes of a switchback, the turning note once', () => {
    const music = section(sheetOf({ ...scale, last: 4 }, ['switchback'], 2), 'Switchback');
    const numbers = music.annotations!.flatMap((one) => (one.kind === 'under' ? [one.text] : []));
    expect(numbers.join(' ')).toBe('1 2 1 1 2 3 2 1 1 2 3 4 3 2 1');
  });

  it('has a number under every note of a switchback, whichever hand strikes it', async () => {
    // Three notes of the right hand against two of the left.
    const span = { ...wholeSpan(await bundledPassage('crosstide.abc')), last: 6 };
    const { music } = sheetOf(span, ['switchback'], 2).sections[1]!;
    const numbers = [...writeMusicXml(music).matchAll(/<lyric[^>]*>.*?<text>(\d+)</g)];
    expect(numbers).toHaveLength(music.onsets.length);
  });

  it('leaves the leaned note its written value and marks it', () => {
    const music = section(sheetOf(scale, ['tenuto'], 3), 'Tenuto');
    // Three of the four steps lean.
    expect(marked(music, 'tenuto')).toEqual(['E4', 'E4', 'E4']);
    const written = new Set(scale.passage.onsets.map(({ notes }) => notes[0]!.durationTicks));
    for (const { notes } of music.onsets) expect(written).toContain(notes[0]!.durationTicks);
  });

  it('has every note of a tenuto at its own place in the passage\u2019s own bars', async () => {
    await fc.assert(
      fc.asyncProperty(arbitrarySnag({ maxOnsets: 12 }), async ({ span, snag }) => {
        const { music } = sheetOf(span, ['tenuto'], snag).sections[1]!;
        const placed = ({ bars, onsets }: Passage) =>
          onsets.map(({ tick }) => {
            const bar = bars.findLast(({ startTick }) => startTick <= tick)!;
            const late = bar.pickup ? barTicks(bar.meter) - bar.durationTicks : 0;
            return { place: tick - bar.startTick + late, meter: bar.meter };
          });
        const own = placed(span.passage).slice(span.first - 1, span.last);
        const steps = music.rehearsalMarks.length;
        expect(steps).toBe(4);
        expect(placed(music)).toEqual(Array.from({ length: steps }, () => own).flat());
      }),
      { numRuns: 50 },
    );
  });

  it('brackets the snag in the passage and in every window', () => {
    const sheet = sheetOf(scale, ['widening'], 3);
    const windows = section(sheet, 'Widening');
    for (const music of [sheet.sections[0]!.music, windows]) {
      const brackets = music.annotations!.filter((one) => one.kind === 'bracket');
      expect(brackets).toHaveLength(Math.max(1, music.rehearsalMarks.length));
      // A tuplet's bracket has an unbroken line and a number.
      expect(writeMusicXml(music)).not.toMatch(/<bracket [^>]*line-type="solid"/);
      for (const one of brackets) {
        expect(one.text).toBe('snag');
        const name = (tick: number) =>
          spellingName(music.onsets.find((onset) => onset.tick === tick)!.notes[0]!.spelling);
        expect([name(one.tick), name(one.endTick)]).toEqual(['E4', 'F4']);
      }
    }
  });

  it('brackets a snag that begins in the other hand', async () => {
    const span = { ...wholeSpan(await bundledPassage('crosstide.abc')), last: 8 };
    // The third onset is the left hand's alone, between two notes of the right.
    const xml = writeMusicXml(sheetOf(span, [], 3).sections[0]!.music);
    expect(xml.match(/<bracket type="start"/g)).toHaveLength(1);
    expect(xml.match(/<bracket type="stop"/g)).toHaveLength(1);
    expect(xml).toMatch(/<bracket type="start"[^>]*><\/direction-type><offset>[\d.]+<\/offset>/);
  });

  it('says all of it as text', () => {
    const lines = sheetText(sheetOf({ ...scale, last: 4 }, ['landings', 'widening'], 2));
    expect(lines).toContain('LANDINGS');
    expect(lines).toContain('  1  (D4 E4)');
    expect(lines.some((text) => text.endsWith('^'))).toBe(true);
    for (const text of lines) expect(text.length).toBeLessThanOrEqual(78);
  });

  it('has the notes of the steps, as MusicXML too, and its bars add up', async () => {
    await fc.assert(
      fc.asyncProperty(
        arbitrarySnag({ maxOnsets: 12 }),
        fc.constantFrom(...DRILLS),
        async ({ span, snag }, drill) => {
          const made = makeSheet(span, {
            drills: [drill],
            settings: { tempo: span.passage.tempo, snags: [snag] },
            goalBpm: span.passage.tempo.bpm,
            subtitle: ['', ''],
          });
          const steps = value(findDrill(drill)).makeSteps(span, { tempo: span.passage.tempo, snags: [snag] });
          if (!made.ok || !steps.ok) return;
          const expected = steps.value.flatMap((step) => pitches(onsetsOfAll(step)));
          expect(pitches(made.value.sections[1]!.music.onsets)).toEqual(expected);

          const whole = sheetMusic(made.value);
          const xml = writeMusicXml(whole);
          const read = await readMusicXml(xml, 'sheet.musicxml');
          expect(read.issues.filter(({ severity }) => severity === 'error')).toEqual([]);
          expect(pitches(read.passage!.onsets)).toEqual(pitches(whole.onsets));
          expect(read.passage!.onsets.map(({ tick }) => tick)).toEqual(whole.onsets.map(({ tick }) => tick));
          // What is read is what is written for the instrument.
          const { transposition } = INSTRUMENTS[whole.parts[0]!.instrument];
          for (const { notes } of whole.onsets)
            for (const n of notes) expect(spellingToPitch(n.spelling)).toBe(n.pitch - transposition);
        },
      ),
      { numRuns: sample(200, 40) },
    );
  });

  // musicxml-io 0.9.6 (MIT, development only): an independent reader of MusicXML.
  it('is read by another program with as many bars and notes', () => {
    const whole = sheetMusic(sheetOf(scale, DRILLS, 3));
    const score = parse(writeMusicXml(whole));
    const bars = score.parts[0]!.measures;
    expect(bars).toHaveLength(whole.bars.length);
    const notes = bars.flatMap((bar) => bar.entries.filter((one) => one.type === 'note'));
    const struck = notes.filter((n) => n.pitch && !n.tie && !(n.ties ?? []).some((t) => t.type === 'stop'));
    expect(struck.length).toBe(whole.onsets.length);
  });
});
