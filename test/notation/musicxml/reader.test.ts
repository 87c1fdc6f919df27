// The MusicXML reader against MusicXML 4.0 (w3c.github.io/musicxml): the W3C's examples and what its elements mean.

import { describe, expect, it } from 'vitest';
import { readMusicXml } from '../../../src/notation/musicxml/reader.ts';
import { writeMusicXml } from '../../../src/notation/musicxml/writer.ts';
import { lengths, melody, note, START, score, warnings, xml } from '../readings.ts';

describe('the W3C examples', () => {
  it('Hello World: one whole note, C4', () => {
    // w3c.github.io/musicxml/tutorial/hello-world, typed from the page.
    const reading = readMusicXml(
      `<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
<score-partwise version="4.0">
  <part-list><score-part id="P1"><part-name>Music</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1">
      <attributes><divisions>1</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef></attributes>
      <note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration><type>whole</type></note>
    </measure>
  </part>
</score-partwise>`,
      'hello.musicxml',
    );
    expect(melody(reading.passage)).toBe('C4 8');
    expect(reading.passage!.bars).toEqual([
      { number: 1, startTick: 0, durationTicks: 40320, meter: { count: 4, unit: 4 }, pickup: false },
    ]);
    expect(reading.issues.map((i) => i.code)).toEqual(['tempo.default']);
  });

  it.each([
    // diatonic, chromatic, octave-change: B flat clarinet as the page on <transpose> has it; the others by arithmetic.
    ['Clarinet in Bb', -1, -2, undefined, 'clarinet', 70],
    ['Clarinet in A', -2, -3, undefined, 'clarinet-a', 69],
    ['Bass Clarinet', -1, -2, -1, 'bass-clarinet', 58],
    ['Alto Saxophone', -5, -9, undefined, 'alto-sax', 63],
    ['Baritone Sax', -5, -9, -1, 'baritone-sax', 51],
    ['Horn in F', -4, -7, undefined, 'horn', 65],
    ['Piccolo', 0, 0, 1, 'piccolo', 84],
    ['', -1, -2, undefined, 'in-bb', 70],
    ['Cornet', -1, -2, undefined, 'cornet', 70],
    ['Euphonium', -1, -2, -1, 'euphonium-bb', 58],
    ['Tuba', 0, 0, undefined, 'tuba', 72],
    ['Bb Bass', -1, -2, -2, 'bb-bass', 46],
    ['Double Bass', 0, 0, -1, 'double-bass', 60],
    ['Glockenspiel', 0, 0, 2, 'glockenspiel', 96],
    ['Basset Horn', -4, -7, undefined, 'in-f', 65],
  ])('written C5 in %s sounds where it should', (name, diatonic, chromatic, octave, instrument, pitch) => {
    const octaveXml = octave === undefined ? '' : `<octave-change>${octave}</octave-change>`;
    const transpose = `<attributes><transpose><diatonic>${diatonic}</diatonic><chromatic>${chromatic}</chromatic>${octaveXml}</transpose></attributes>`;
    const list = `<score-part id="P1"><part-name>${name}</part-name></score-part>`;
    const { passage } = xml(`<measure number="1">${START}${transpose}${note('C5', 8)}</measure>`, list);
    expect(passage!.onsets[0]!.notes[0]).toMatchObject({
      pitch,
      spelling: { letter: 'C', alter: 0, octave: 5 },
    });
    expect(passage!.parts[0]!.instrument).toBe(instrument);
  });
});

describe('time', () => {
  it('counts divisions, which may change inside a part: duration 1 of 2 is an eighth', () => {
    const { passage } = xml(
      `<measure number="1">${START}${note('C4', 1)}${note('D4', 3)}<attributes><divisions>6</divisions></attributes>${note('E4', 2)}${note('F4', 2)}${note('G4', 2)}${note('A4', 6)}</measure>`,
    );
    expect(lengths(passage)).toEqual([5040, 15120, 3360, 3360, 3360, 10080]);
  });

  it('backup and forward move the cursor, chords stand at the note before', () => {
    const { passage } = xml(
      `<measure number="1">${START}${note('C5', 4)}${note('E5', 4, '', '<chord/>')}${note('D5', 4)}<backup><duration>8</duration></backup><forward><duration>2</duration></forward>${note('C4', 6, '<voice>2</voice>')}</measure>`,
    );
    expect(passage!.onsets.map((o) => [o.tick, o.notes.map((n) => n.pitch)])).toEqual([
      [0, [72, 76]],
      [10080, [60]],
      [20160, [74]],
    ]);
  });

  it('makes tuplets exact where the divisions are too coarse for them', () => {
    const triplet = (duration: number) =>
      note(
        'C4',
        duration,
        '<type>16th</type><time-modification><actual-notes>7</actual-notes><normal-notes>4</normal-notes></time-modification>',
      );
    const attributes = START.replace('<divisions>2<', '<divisions>480<');
    const notes = [69, 68, 69, 68, 69, 68, 69].map(triplet).join('');
    const { passage } = xml(`<measure number="1">${attributes}${notes}${note('D4', 1440)}</measure>`);
    expect(lengths(passage)).toEqual([...Array(7).fill(1440), 30240]);
  });

  it('nested tuplets count with their product', () => {
    // A triplet of eighths whose middle third is itself a triplet of sixteenths in the time of two.
    const modified = (duration: number, actual: number, normal: number, type: string) =>
      note(
        'C4',
        duration,
        `<type>${type}</type><time-modification><actual-notes>${actual}</actual-notes><normal-notes>${normal}</normal-notes></time-modification>`,
      );
    const attributes = START.replace('<divisions>2<', '<divisions>18<');
    const notes =
      modified(6, 3, 2, 'eighth') +
      modified(2, 9, 4, '16th') +
      modified(2, 9, 4, '16th') +
      modified(2, 9, 4, '16th') +
      modified(6, 3, 2, 'eighth');
    const { passage } = xml(`<measure number="1">${attributes}${notes}${note('D4', 54)}</measure>`);
    expect(lengths(passage)).toEqual([3360, 1120, 1120, 1120, 3360, 30240]);
  });

  it('keeps the beat of a metronome mark, and tells a bare sound tempo in the meter’s beat', () => {
    const meter = START.replace(
      '<beats>4</beats><beat-type>4</beat-type>',
      '<beats>6</beats><beat-type>8</beat-type>',
    );
    const dotted = meter.replace(
      '<beat-unit>quarter</beat-unit>',
      '<beat-unit>quarter</beat-unit><beat-unit-dot/>',
    );
    expect(xml(`<measure number="1">${dotted}${note('C4', 6)}</measure>`).passage!.tempo).toEqual({
      bpm: 80,
      beatTicks: 15120,
    });
    const sound = meter.replace(/<direction>.*<\/direction>/, '<sound tempo="90"/>');
    expect(xml(`<measure number="1">${sound}${note('C4', 6)}</measure>`).passage!.tempo).toEqual({
      bpm: 60,
      beatTicks: 15120,
    });
  });

  it('adds up composite meters and keeps changes of meter, key and tempo at their bars', () => {
    const five =
      '<attributes><key><fifths>-3</fifths><mode>minor</mode></key><time><beats>3+2</beats><beat-type>8</beat-type></time></attributes><sound tempo="100"/>';
    const { passage } = xml(
      `<measure number="1">${START}${note('C4', 8)}</measure><measure number="2">${five}${note('C4', 5)}</measure>`,
    );
    expect(passage!.bars[1]!.meter).toEqual({ count: 5, unit: 8, groups: [3, 2] });
    expect(passage!.keys).toEqual([
      { tick: 0, fifths: 0, mode: 'major' },
      { tick: 40320, fifths: -3, mode: 'minor' },
    ]);
    expect(passage!.tempoChanges).toEqual([{ tick: 40320, tempo: { bpm: 200, beatTicks: 5040 } }]);
  });
});

describe('bars', () => {
  it('takes a pickup, printed numbers and marked irregular bars as they are', () => {
    const reading = xml(
      `<measure number="0" implicit="yes">${START}${note('G4', 2)}</measure><measure number="1">${note('C4', 8)}</measure><measure number="2" implicit="yes">${note('C4', 10)}</measure><measure number="X3">${note('D4', 8)}</measure>`,
    );
    expect(reading.passage!.bars.map((b) => [b.number, b.durationTicks, b.pickup])).toEqual([
      [0, 10080, true],
      [1, 40320, false],
      [2, 50400, false],
      [3, 40320, false],
    ]);
    expect(reading.issues).toEqual([]);
  });

  it('counts a short bar that is marked as uncounted back from its end', () => {
    const { passage } = xml(
      `<measure number="1">${START}${note('C4', 8)}</measure><measure number="X1" implicit="yes">${note('G4', 3)}</measure><measure number="2">${note('C4', 8)}</measure>`,
    );
    expect(passage!.bars.map((bar) => bar.pickup)).toEqual([false, true, false]);
  });

  it('warns of a bar that does not fill its meter, with its number and line', () => {
    const reading = xml(
      `<measure number="1">${START}${note('C4', 8)}</measure>\n<measure number="2">${note('C4', 7)}</measure>\n<measure number="3">${note('C4', 8)}</measure>`,
    );
    expect(reading.issues).toEqual([
      {
        code: 'bar.length',
        severity: 'warning',
        message: 'Bar 2 lasts 3.5 quarter notes, its meter 4/4 asks for 4',
        place: { line: 2, column: 20, bar: 2 },
      },
    ]);
  });
});

describe('ties', () => {
  const start = '<tie type="start"/>';
  const stop = '<tie type="stop"/>';

  it('join across bars and in chords, each note by itself', () => {
    const { passage } = xml(
      `<measure number="1">${START}${note('C4', 8, start)}${note('E4', 8, '', '<chord/>')}</measure><measure number="2">${note('C4', 4, stop + start)}${note('F4', 4, '', '<chord/>')}${note('C4', 4, stop)}</measure>`,
    );
    expect(passage!.onsets.map((o) => o.notes.map((n) => [n.pitch, n.durationTicks]))).toEqual([
      [
        [60, 80640],
        [64, 40320],
      ],
      [[65, 20160]],
    ]);
  });

  it('lead into both endings', () => {
    const first = '<barline location="left"><ending number="1" type="start"/></barline>';
    const firstEnd =
      '<barline location="right"><ending number="1" type="stop"/><repeat direction="backward"/></barline>';
    const second = '<barline location="left"><ending number="2" type="start"/></barline>';
    const { passage } = xml(
      `<measure number="1">${START}${note('C4', 8, start)}</measure><measure number="2">${first}${note('C4', 4, stop)}${note('D4', 4)}${firstEnd}</measure><measure number="3">${second}${note('C4', 8, stop)}</measure>`,
    );
    expect(melody(passage)).toBe('C4 12, D4 4, C4 16');
  });

  it('are taken from <tied> where a file has no <tie>', () => {
    const tied = '<notations><tied type="start"/></notations>';
    const { passage } = xml(`<measure number="1">${START}${note('C4', 4, tied)}${note('C4', 4)}</measure>`);
    expect(melody(passage)).toBe('C4 8');
  });
});

describe('parts, staves and voices', () => {
  const two =
    '<score-part id="P1"><part-name>Flute</part-name></score-part><score-part id="P2"><part-name>Piano</part-name></score-part>';
  const text = `<score-partwise><part-list>${two}</part-list><part id="P1"><measure number="1">${START}${note('G5', 8)}</measure></part><part id="P2"><measure number="1">${START}${note('C5', 8, '<voice>1</voice><staff>1</staff>')}<backup><duration>8</duration></backup>${note('C3', 8, '<voice>5</voice><staff>2</staff>')}</measure></part></score-partwise>`;

  it('are numbered from 1 by staff, whatever the numbers in the file', () => {
    const { passage } = readMusicXml(text, 't');
    expect(passage!.parts.map((p) => p.instrument)).toEqual(['flute', 'keyboard']);
    expect(passage!.onsets[0]!.notes.map((n) => [n.pitch, n.part, n.staff, n.voice])).toEqual([
      [48, 1, 2, 2],
      [72, 1, 1, 1],
      [79, 0, 1, 1],
    ]);
  });

  it('one part is chosen by name, number or id, one voice by the number in the file', () => {
    for (const part of ['piano', 2, 'P2']) {
      expect(readMusicXml(text, 't', { part }).passage!.onsets[0]!.notes.map((n) => n.pitch)).toEqual([
        48, 72,
      ]);
    }
    expect(melody(readMusicXml(text, 't', { part: 2, voice: 5 }).passage)).toBe('C3 8');
    const missing = readMusicXml(text, 't', { part: 'Tuba' });
    expect(missing.issues[0]!.message).toBe('Cannot find part "Tuba" in t: it has 1 Flute, 2 Piano');
  });

  it('a unison of two voices is one key to press, and told', () => {
    const reading = xml(
      `<measure number="1">${START}${note('C4', 8)}<backup><duration>8</duration></backup>${note('C4', 4, '<voice>2</voice>')}${note('D4', 4, '<voice>2</voice>')}</measure>`,
    );
    expect(melody(reading.passage)).toBe('C4 8, D4 4');
    expect(reading.issues.map((i) => [i.code, i.place?.bar])).toEqual([['unison.merged', 1]]);
  });
});

describe('marks', () => {
  it('grace notes, ornaments, articulations and fermatas are kept', () => {
    const grace =
      '<note><grace slash="yes"/><pitch><step>B</step><octave>4</octave></pitch><type>eighth</type></note>';
    const marks =
      '<notations><ornaments><trill-mark/></ornaments><articulations><staccato/><strong-accent/></articulations><fermata/></notations>';
    const { passage } = xml(`<measure number="1">${START}${grace}${note('C5', 8, marks)}</measure>`);
    expect(passage!.onsets[0]!.notes).toMatchObject([
      { pitch: 71, ornament: 'grace', durationTicks: 0 },
      { pitch: 72, ornament: 'trill', articulations: ['staccato', 'marcato', 'fermata'] },
    ]);
  });

  it('slurs join all notes but the last, and one that never stops joins none', () => {
    const slur = (type: string, number = 1) =>
      `<notations><slur type="${type}" number="${number}"/></notations>`;
    const reading = xml(
      `<measure number="1">${START}${note('C4', 2, slur('start'))}${note('D4', 2)}${note('E4', 2, slur('stop'))}${note('F4', 2, slur('start', 2))}</measure>`,
    );
    expect(reading.passage!.onsets.map((o) => o.notes[0]!.slurred ?? false)).toEqual([
      true,
      true,
      false,
      false,
    ]);
    expect(reading.issues.map((i) => i.code)).toEqual(['musicxml.slur']);
  });

  it('rehearsal marks stand at their bar', () => {
    const mark = '<direction><direction-type><rehearsal>A</rehearsal></direction-type></direction>';
    const { passage } = xml(
      `<measure number="1">${START}${note('C4', 8)}</measure><measure number="2">${mark}${note('D4', 8)}</measure>`,
    );
    expect(passage!.rehearsalMarks).toEqual([{ tick: 40320, text: 'A' }]);
  });

  it('cue notes and percussion without pitch are left out with a word, and keep their time', () => {
    const cue = note('C6', 2, '', '<cue/>');
    const drum =
      '<note><unpitched><display-step>E</display-step><display-octave>4</display-octave></unpitched><duration>2</duration></note>';
    const reading = xml(`<measure number="1">${START}${cue}${drum}${note('C4', 4)}</measure>`);
    expect(melody(reading.passage)).toBe('C4 4');
    expect(reading.passage!.onsets[0]!.tick).toBe(20160);
    expect(reading.issues.map((i) => i.code)).toEqual(['musicxml.cue', 'musicxml.unpitched']);
  });

  it('title and composer are found where exporters put them', () => {
    const measures = `<measure number="1">${START}${note('C4', 8)}</measure>`;
    const work = score(measures).replace(
      '<part-list>',
      '<work><work-title>Fog</work-title></work><identification><creator type="composer">for the band</creator></identification><part-list>',
    );
    expect(readMusicXml(work, 't').passage).toMatchObject({ title: 'Fog', composer: 'for the band' });
    const credit = score(measures).replace(
      '<part-list>',
      '<credit><credit-type>title</credit-type><credit-words>Tide</credit-words></credit><part-list>',
    );
    expect(readMusicXml(credit, 't').passage!.title).toBe('Tide');
  });
});

describe('jumps', () => {
  const direction = (inside: string, sound = '') =>
    `<direction><direction-type>${inside}</direction-type>${sound}</direction>`;
  const bar = (number: number, marks = '') =>
    `<measure number="${number}">${number === 1 ? START : ''}${note('C4', 8)}${marks}</measure>`;
  const order = (measures: string) =>
    xml(measures)
      .passage!.bars.map((b) => b.number)
      .join(' ');

  it('follow <sound>, and the words where there is none', () => {
    expect(
      order(
        bar(1) +
          bar(2, direction('<words>Fine</words>', '<sound fine="yes"/>')) +
          bar(3, '<sound dacapo="yes"/>'),
      ),
    ).toBe('1 2 3 1 2');
    expect(
      order(
        bar(1) + bar(2, direction('<words>Fine</words>')) + bar(3, direction('<words>D.C. al Fine</words>')),
      ),
    ).toBe('1 2 3 1 2');
  });

  it('take the first of two coda signs for the way to the second', () => {
    const measures =
      bar(1) +
      bar(2, direction('<coda/>')) +
      bar(3, direction('<words>D.C. al Coda</words>')) +
      `<measure number="4">${direction('<coda/>')}${note('D4', 8)}</measure>`;
    expect(order(measures)).toBe('1 2 3 1 2 4');
  });
});

describe('what is refused', () => {
  it('timewise, with the way out', () => {
    const reading = readMusicXml('<score-timewise version="4.0"></score-timewise>', 'a.xml');
    expect(reading.issues[0]!.message).toBe(
      'Cannot read a.xml: it is score-timewise, and only score-partwise is read here; export it again as partwise',
    );
  });

  it.each([
    ['<html><body/></html>', /its first element is <html>/],
    ['<score-partwise><part-list>', /unclosed tag/],
    [score(`<measure number="1">${START}${note('C4', 8)}`), /unexpected close tag/],
    [
      score(
        '<measure number="1"><note><pitch><step>H</step><octave>4</octave></pitch><duration>1</duration></note></measure>',
      ),
      /Cannot read a pitch: step "H"/,
    ],
    [
      score('<measure number="1"><note><pitch><step>C</step><octave>4</octave></pitch></note></measure>'),
      /duration of a note: it is missing/,
    ],
    [score('<measure number="1"><attributes><divisions>0</divisions></attributes></measure>'), /divisions/],
  ])('%.40s', (text, message) => {
    const reading = readMusicXml(text, 'bad.musicxml');
    expect(reading.passage).toBeUndefined();
    expect(reading.issues.at(-1)).toMatchObject({
      severity: 'error',
      message: expect.stringMatching(message),
    });
    expect(reading.issues.at(-1)!.place?.line).toBe(1);
  });

  it('an entity bomb, before anything of it is expanded', () => {
    const bomb = `<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;">]>${score('&b;')}`;
    expect(readMusicXml(bomb, 'bomb.xml').issues[0]!.message).toMatch(/declares entities/);
    expect(warnings(readMusicXml(score('&unknown;'), 'x.xml'))).toEqual([
      expect.stringContaining('musicxml.xml@1:'),
    ]);
  });

  it('elements nested without end', () => {
    expect(readMusicXml(`<score-partwise>${'<a>'.repeat(100_000)}`, 'deep.xml').issues[0]!.message).toMatch(
      /nested more than 64 deep/,
    );
  });
});

describe('what a file may do', () => {
  it('begins with an empty line before its declaration, which is told', () => {
    const text = `\n<?xml version="1.0"?>\n${score(`<measure number="1">${START}${note('C4', 8)}</measure>`)}`;
    const reading = readMusicXml(text, 'late.musicxml');
    expect(melody(reading.passage)).toBe('C4 8');
    expect(warnings(reading)).toEqual(['musicxml.first-line@1:1']);
  });

  it('writes signs of arpeggio, glissando and slide, each told once with its place', () => {
    const signs = '<notations><arpeggiate/><glissando type="start"/><slide type="start"/></notations>';
    const reading = xml(
      `<measure number="1">${START}${note('C4', 4, signs)}${note('D4', 4, signs)}</measure>`,
    );
    expect(reading.issues.map((i) => i.code)).toEqual([
      'musicxml.arpeggiate',
      'musicxml.glissando',
      'musicxml.slide',
    ]);
    expect(reading.issues.every((i) => i.place?.line === 1)).toBe(true);
  });

  it('has an empty pickup, which is left out, or an empty first bar, which counts as a bar of rest: both are told', () => {
    const rest = `<measure number="1">${note('C4', 8)}</measure><measure number="2">${note('D4', 8)}</measure>`;
    const pickup = xml(`<measure number="0" implicit="yes">${START}</measure>${rest}`);
    expect(pickup.issues.map((i) => i.code)).toEqual(['bar.empty']);
    expect(pickup.passage!.onsets.map((o) => o.tick)).toEqual([0, 40320]);
    expect(pickup.passage!.tempo.bpm).toBe(80);
    const bar = xml(`<measure number="0">${START}</measure>${rest}`);
    expect(bar.issues.map((i) => i.code)).toEqual(['bar.empty']);
    expect(bar.passage!.onsets.map((o) => o.tick)).toEqual([40320, 80640]);
  });

  it('rests a whole bar in one part of a pickup: the other part says how long it is', () => {
    const list =
      '<score-part id="P1"><part-name>Oboe</part-name></score-part><score-part id="P2"><part-name>Flute</part-name></score-part>';
    const barRest = '<note><rest measure="yes"/><duration>8</duration></note>';
    const text = score(
      `<measure number="0" implicit="yes">${START}${barRest}</measure><measure number="1">${note('C4', 8)}</measure>` +
        `</part><part id="P2"><measure number="0" implicit="yes"><attributes><divisions>2</divisions></attributes>${note('G4', 2)}</measure><measure number="1">${note('E4', 8)}</measure>`,
      list,
    );
    const { passage } = readMusicXml(text, 'pickup.musicxml');
    expect(passage!.bars.map((b) => [b.number, b.durationTicks, b.pickup])).toEqual([
      [0, 10080, true],
      [1, 40320, false],
    ]);
  });

  it('groups the beats of a bar: 2+3/8, 3/8 + 2/4', () => {
    const time = (inside: string) =>
      xml(
        `<measure number="1"><attributes><divisions>2</divisions><time>${inside}</time></attributes>${note('C4', 5)}</measure>`,
      ).passage;
    const grouped = time('<beats>2+3</beats><beat-type>8</beat-type>');
    expect(grouped!.bars[0]!.meter).toEqual({ count: 5, unit: 8, groups: [2, 3] });
    expect(readMusicXml(writeMusicXml(grouped!), 'again').passage!.bars[0]!.meter.groups).toEqual([2, 3]);
    const pairs = '<beats>3</beats><beat-type>8</beat-type><beats>2</beats><beat-type>4</beat-type>';
    expect(time(pairs)!.bars[0]!.meter).toEqual({ count: 7, unit: 8, groups: [3, 4] });
  });

  it('bends the time in words, or by fermatas where there is no note: told with the place', () => {
    const words = (text: string, sound = '') =>
      `<direction><direction-type><words>${text}</words></direction-type>${sound}</direction>`;
    const rest = '<note><rest/><duration>4</duration><notations><fermata/></notations></note>';
    const line = '<barline location="right"><fermata/></barline>';
    const reading = xml(
      `<measure number="1">${START}${words('rit.')}${note('C4', 4)}${rest}${line}</measure>` +
        `<measure number="2">${words('rall.', '<sound tempo="60"/>')}${note('D4', 8)}</measure>`,
    );
    expect(reading.issues.map((i) => i.code)).toEqual(['tempo.words', 'fermata.rest', 'fermata.bar-line']);
    expect(reading.passage!.tempoChanges.map((c) => [c.tick, c.tempo.bpm])).toEqual([[40320, 60]]);
  });
});
