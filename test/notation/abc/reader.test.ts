// The ABC reader against what ABC 2.1 (December 2011) says, with the standard's own examples and section numbers.

import { describe, expect, it } from 'vitest';
import { readAbc } from '../../../src/notation/abc/reader.ts';
import { writeAbc } from '../../../src/notation/abc/writer.ts';
import { abc, lengths, melody, warnings } from '../readings.ts';

describe('note lengths (ABC 2.1, 3.1.7 and 4.3)', () => {
  it.each([
    ['2/4', 2520],
    ['3/4', 5040],
    ['6/8', 5040],
    ['4/4', 5040],
    ['C', 5040],
    ['C|', 5040],
    ['none', 5040],
  ])('M:%s makes the unit length %i ticks', async (meter, ticks) => {
    const { passage } = await abc('C', `M:${meter}\nK:C`);
    expect(lengths(passage)[0]).toBe(ticks);
  });

  it('keeps the unit length when the meter changes inside the tune', async () => {
    const { passage } = await abc('C8 | [M:2/4] C4 |', 'M:4/4\nK:C');
    expect(lengths(passage)).toEqual([40320, 20160]);
  });

  it('reads A3, A/, A/2, A//, A3/2 and A/4, down to 128th notes', async () => {
    const { passage } = await abc('A3 A/ A/2 A// A3/2 A/4 A/16', 'M:none\nL:1/8\nK:C');
    expect(lengths(passage)).toEqual([15120, 2520, 2520, 1260, 7560, 1260, 315]);
  });
});

describe('broken rhythm (ABC 2.1, 4.4)', () => {
  it('reads the three equivalent spellings of the standard alike', async () => {
    const spellings = [
      ['L:1/16', 'a3b cd3 a2b2c2d2'],
      ['L:1/8', 'a3/2b/2 c/2d3/2 abcd'],
      ['L:1/8', 'a>b c<d abcd'],
    ] as const;
    const read = await Promise.all(spellings.map(([unit, music]) => abc(music, `M:4/4\n${unit}\nK:C`)));
    expect(melody(read[1]!.passage)).toBe(melody(read[0]!.passage));
    expect(melody(read[2]!.passage)).toBe(melody(read[0]!.passage));
    expect(lengths(read[0]!.passage)).toEqual([7560, 2520, 2520, 7560, 5040, 5040, 5040, 5040]);
  });

  it('double and triple signs dot twice and three times', async () => {
    const { passage } = await abc('A>>B A<<B A>>>B z2');
    expect(lengths(passage)).toEqual([8820, 1260, 1260, 8820, 9450, 630]);
  });

  it('sees through grace notes: A<{g}A is A/2{g}A3/2', async () => {
    const short = await abc('A<{g}A z6');
    const long = await abc('A/2{g}A3/2 z6');
    expect(short.passage!.onsets).toEqual(long.passage!.onsets);
  });
});

describe('tuplets (ABC 2.1, 4.13)', () => {
  it.each([
    [2, 3, 3],
    [3, 2, 2],
    [4, 3, 3],
    [5, 2, 3],
    [6, 2, 2],
    [7, 2, 3],
    [8, 3, 3],
    [9, 2, 3],
  ])('(%i takes the time of %i, in compound meter of %i', async (p, simple, compound) => {
    const notes = 'ABcdefgab'.slice(0, p);
    for (const [meter, q] of [
      ['4/4', simple],
      ['6/8', compound],
      ['12/8', compound],
    ] as const) {
      const { passage } = await abc(`(${p}${notes} c`, `M:${meter}\nL:1/8\nK:C`);
      expect(passage!.onsets.at(-1)!.tick).toBe(q * 5040);
    }
  });

  it('fills in what (p:q:r leaves out: (3 = (3:2:3, (3::2 = (3:2:2, (3:2 = (3:2:3', async () => {
    const [a, b, c] = await Promise.all(['(3ABc d', '(3:2:3ABc d', '(3:2ABc d'].map((m) => abc(m)));
    expect(melody(b!.passage)).toBe(melody(a!.passage));
    expect(melody(c!.passage)).toBe(melody(a!.passage));
    expect(lengths((await abc('(3::2 G4c2 z2')).passage)).toEqual(
      lengths((await abc('(3:2:2 G4c2 z2')).passage),
    );
  });

  it('takes any lengths inside: (3:2:2 G4c2 and (3:2:4 G2A2Bc last four eighths', async () => {
    expect(lengths((await abc('(3:2:2 G4c2 z4')).passage)).toEqual([13440, 6720]);
    expect(lengths((await abc('(3:2:4 G2A2Bc z4')).passage)).toEqual([6720, 6720, 3360, 3360]);
  });
});

describe('keys (ABC 2.1, 3.1.14)', () => {
  it.each([
    [7, 'C# A#m G#Mix D#Dor E#Phr F#Lyd B#Loc'],
    [6, 'F# D#m C#Mix G#Dor A#Phr BLyd E#Loc'],
    [5, 'B G#m F#Mix C#Dor D#Phr ELyd A#Loc'],
    [1, 'G Em DMix ADor BPhr CLyd F#Loc'],
    [0, 'C Am GMix DDor EPhr FLyd BLoc'],
    [-1, 'F Dm CMix GDor APhr BbLyd ELoc'],
    [-7, 'Cb Abm GbMix DbDor EbPhr FbLyd BbLoc'],
  ])('%i sharps: %s', async (fifths, keys) => {
    for (const key of keys.split(' ')) {
      const { passage } = await abc('C', `K:${key}`);
      expect([key, passage!.keys[0]!.fifths]).toEqual([key, fifths]);
    }
  });

  it('takes the first three letters of the mode in any case, and m for minor', async () => {
    const keys = ['Ador', 'A DORIAN', 'ADorian', 'A dor'];
    for (const key of keys)
      expect((await abc('F', `K:${key}`)).passage!.keys[0]).toMatchObject({ fifths: 1, mode: 'dorian' });
    expect((await abc('F', 'K:A minor')).passage!.keys[0]).toMatchObject({ fifths: 0, mode: 'minor' });
    expect((await abc('F', 'K:Amaj')).passage!.keys[0]).toMatchObject({ fifths: 3, mode: 'major' });
  });

  it('adds accidentals to a key, and exp takes them alone', async () => {
    // "K:D Phr ^f" and "K:D exp _b _e ^f" are the standard's own two ways to the same notes.
    const added = await abc('B E F', 'K:D Phr ^f');
    const alone = await abc('B E F', 'K:D exp _b _e ^f');
    expect(melody(added.passage)).toBe('Bb4 1, Eb4 1, F#4 1');
    expect(melody(alone.passage)).toBe(melody(added.passage));
  });

  it('writes nothing for K:HP and two sharps for K:Hp', async () => {
    expect(melody((await abc('f c g', 'K:HP')).passage)).toBe('F5 1, C5 1, G5 1');
    expect(melody((await abc('f c g', 'K:Hp')).passage)).toBe('F#5 1, C#5 1, G5 1');
  });
});

describe('accidentals (ABC 2.1, 4.2 and 11.3)', () => {
  it('hold through the bar in all octaves, unless the tune asks for one octave or for none', async () => {
    const music = '^F f F | F';
    expect(melody((await abc(music)).passage)).toBe('F#4 1, F#5 1, F#4 1, F4 1');
    const octave = await abc(music, '%%propagate-accidentals octave\nK:C');
    expect(melody(octave.passage)).toBe('F#4 1, F5 1, F#4 1, F4 1');
    const not = await abc(music, 'I:propagate-accidentals not\nK:C');
    expect(melody(not.passage)).toBe('F#4 1, F5 1, F4 1, F4 1');
  });

  it('reach from grace notes to the notes after them', async () => {
    expect(melody((await abc('{^c}B c d')).passage)).toBe('B4+(C#5) 1, C#5 1, D5 1');
  });

  it('go over the bar line with a tie, and no further', async () => {
    expect(melody((await abc('^f8- | f4 f4 |')).passage)).toBe('F#5 12, F5 4');
  });

  it('tells of quarter tones and takes the note without them', async () => {
    const reading = await abc('^/C D');
    expect(melody(reading.passage)).toBe('C4 1, D4 1');
    expect(warnings(reading)).toContain('abc.quarter-tone@7:1');
  });
});

describe('ties and slurs (ABC 2.1, 4.11)', () => {
  it('joins ties in chords note by note', async () => {
    const { passage } = await abc('[C-EG]4 [CFA]4 |');
    expect(passage!.onsets.map((o) => o.notes.map((n) => [n.pitch, n.durationTicks]))).toEqual([
      [
        [60, 40320],
        [64, 20160],
        [67, 20160],
      ],
      [
        [65, 20160],
        [69, 20160],
      ],
    ]);
  });

  it('joins a tie that leads into each of two endings', async () => {
    const { passage } = await abc('|: C6 D2- |1 D4 E4 :|2 D8 |]');
    expect(melody(passage)).toBe('C4 6, D4 6, E4 4, C4 6, D4 10');
  });

  it('tells of a tie that leads nowhere', async () => {
    const reading = await abc('C4- D4 |');
    expect(melody(reading.passage)).toBe('C4 4, D4 4');
    expect(warnings(reading)).toEqual(['tie.open@7:1']);
  });

  it('marks every note of a slur but its last as joined to the next', async () => {
    const { passage } = await abc('(CDE) F (GA)(Bc) |');
    expect(passage!.onsets.map((o) => o.notes[0]!.slurred === true)).toEqual([
      true,
      true,
      false,
      false,
      true,
      false,
      true,
      false,
    ]);
  });
});

describe('repeats (ABC 2.1, 4.8 to 4.10)', () => {
  const bars = async (music: string, header?: string) =>
    (await abc(music, header)).passage!.bars.map((bar) => bar.number).join(' ');

  it.each([
    ['|: C8 | D8 :| E8 |]', '1 2 1 2 3'],
    ['C8 | D8 :| E8 |]', '1 2 1 2 3'],
    ['|: C8 :: D8 :| E8 |]', '1 1 2 2 3'],
    ['|: C8 |1 D8 :|2 E8 |]', '1 2 1 3'],
    ['|: C8 | [1 D8 :| [2 E8 |]', '1 2 1 3'],
    ['|: C8 |[1 D8 :|[2 E8 |]', '1 2 1 3'],
    ['|: C8 |1,3 D8 :|2 E8 :|4 F8 |]', '1 2 1 3 1 2 1 4'],
    ['|: C8 |1-3 D8 :|4 E8 |]', '1 2 1 2 1 2 1 3'],
    ['|:: C8 ::| D8 |]', '1 1 1 2'],
    ['C8 || D8 :| E8 |]', '1 2 2 3'],
    ['!segno! C8 | D8 !fine! | E8 !D.S.! |]', '1 2 3 1 2'],
    ['C8 | D8 !dacoda! | E8 !D.C.alcoda! | !coda! F8 |]', '1 2 3 1 2 4'],
    ['C8 !fine! | D8 !dacapo! |]', '1 2 1'],
  ])('%s is played as bars %s', async (music, expected) => {
    expect(await bars(music)).toBe(expected);
  });

  it('plays out the order of parts in the header', async () => {
    expect(await bars('P:A\nC8 | D8 |\nP:B\nE8 |', 'P:(AB)2.A\nM:4/4\nL:1/8\nK:C')).toBe('1 2 3 1 2 3 1 2');
  });

  it('takes the liberal bar lines of the standard', async () => {
    const { passage } = await abc('[|: C8 |[| D8 ||: E8 :|] F8 [|] |]');
    expect(passage!.bars.map((bar) => bar.number)).toEqual([1, 2, 3, 3, 4]);
  });

  it('goes back to the key and the tempo that were in force where a repeat begins', async () => {
    const { passage } = await abc('F8 |: F8 | [K:F][Q:1/4=60] B8 :|', 'M:4/4\nL:1/8\nK:G');
    expect(passage!.keys.map((key) => [key.tick / 40320, key.fifths])).toEqual([
      [0, 1],
      [2, -1],
      [3, 1],
      [4, -1],
    ]);
    expect(passage!.tempoChanges.map(({ tick, tempo }) => [tick / 40320, tempo.bpm])).toEqual([
      [2, 60],
      [3, 80],
      [4, 60],
    ]);
  });

  it('numbers a pickup 0, and the second half of a bar that a repeat splits like its first', async () => {
    const { passage } = await abc('G2 | C8 | D6 :| E2 | F8 |]');
    expect(passage!.bars.map((b) => `${b.number}${b.pickup ? 'p' : ''}`).join(' ')).toBe(
      '0p 1 2 0p 1 2 2p 3',
    );
  });
});

describe('voices (ABC 2.1, section 7)', () => {
  it('makes one part of a brace, with a staff for each hand and voices in parentheses', async () => {
    const header = '%%score {(A B) L} F\nM:4/4\nL:1/8\nV:A\nV:B\nV:L clef=bass\nV:F nm="Flute"\nK:C';
    const { passage } = await abc('V:A\nc8|\nV:B\nE8|\nV:L\nC,8|\nV:F\ng8|', header);
    expect(passage!.parts.map((p) => `${p.name}/${p.instrument}`)).toEqual([
      'keyboard/keyboard',
      'Flute/flute',
    ]);
    expect(passage!.onsets[0]!.notes.map((n) => [n.pitch, n.part, n.staff, n.voice])).toEqual([
      [48, 0, 2, 3],
      [64, 0, 1, 2],
      [72, 0, 1, 1],
      [79, 1, 1, 1],
    ]);
  });

  it('keeps a voice on its own staff when another pauses for a line', async () => {
    const header = 'M:4/4\nL:1/8\nV:1\nV:2\nV:3\nK:C';
    const { passage } = await abc('V:1\nc8|\nV:2\nE8|\nV:3\nC8|\nV:1\nd8|\nV:3\nD8|', header);
    expect(passage!.onsets[1]!.notes.map((n) => [n.pitch, n.part])).toEqual([
      [62, 2],
      [74, 0],
    ]);
  });

  it('turns to a voice inside a line, and lays an overlay into its bar', async () => {
    const { passage } = await abc('[V:1] c8 & E4 F4 | [V:2] C8 |', 'M:4/4\nL:1/8\nV:1\nV:2\nK:C');
    expect(passage!.onsets.map((o) => `${o.tick}:${o.notes.map((n) => n.pitch).join('+')}`)).toEqual([
      '0:60+64+72',
      '20160:65',
    ]);
  });

  it('reads transpose= and octave= of K: and V:, and clefs an octave off', async () => {
    const sounding = async (header: string) => (await abc('C', header)).passage!.onsets[0]!.notes[0]!;
    expect((await sounding('K:C transpose=-2')).pitch).toBe(58);
    expect((await sounding('V:1 transpose=-9\nK:C')).pitch).toBe(51);
    expect(await sounding('K:C octave=1')).toMatchObject({ pitch: 72, spelling: { octave: 5 } });
    expect(await sounding('K:C clef=treble-8')).toMatchObject({ pitch: 48, spelling: { octave: 3 } });
  });
});

describe('instruments', () => {
  it('come from our own header, with written and sounding pitch both kept', async () => {
    const { passage } = await abc('c', '%%fettle-instrument alto-sax\nK:C');
    // facts of the trade: written C5 on the alto saxophone sounds E flat 4 (72 - 9 = 63)
    expect(passage!.onsets[0]!.notes[0]).toMatchObject({ pitch: 63, spelling: { letter: 'C', octave: 5 } });
    expect(passage!.parts[0]).toEqual({ name: 'alto saxophone', instrument: 'alto-sax' });
  });

  it('are no more than in their key where only a transposition is given: a cornet is no clarinet', async () => {
    const { passage, issues } = await abc('c', 'K:C transpose=-2');
    expect(passage!.parts).toEqual([{ name: 'instrument in Bb', instrument: 'in-bb' }]);
    expect(issues).toEqual([]);
  });

  it('that are not known are asked for', async () => {
    const reading = await abc('c', 'V:1 name="Ophicleide"\nK:C');
    expect(reading.passage!.parts).toEqual([{ name: 'Ophicleide', instrument: 'in-c' }]);
    expect(reading.issues.map((i) => i.message)).toEqual([
      'Instrument in doubt: "Ophicleide" is no instrument known here: read as for an instrument in C; say which it is with --instrument',
    ]);
  });

  it('transpose= wins over our header, which is told', async () => {
    const reading = await abc('c', '%%fettle-instrument clarinet\nK:C transpose=-3');
    expect(reading.passage!.onsets[0]!.notes[0]!.pitch).toBe(69);
    expect(reading.issues.map((i) => i.code)).toContain('abc.transpose');
  });

  it('a name without a transposition is told and read as it sounds', async () => {
    const reading = await abc('c', 'V:1 name="Clarinet"\nK:C');
    expect(reading.passage!.onsets[0]!.notes[0]!.pitch).toBe(72);
    expect(reading.issues.map((i) => i.code)).toEqual(['instrument.doubt']);
  });

  it('an unknown name lists those that are known', async () => {
    const reading = await abc('c', '%%fettle-instrument clarinett\nK:C');
    expect(reading.issues[0]!.message).toMatch(/clarinett.*known are keyboard, flute/);
  });
});

describe('ornaments and marks (ABC 2.1, 4.12 and 4.14)', () => {
  it('puts grace notes before their note, in their order, without length', async () => {
    const { passage } = await abc('{gf}e2 z6');
    expect(passage!.onsets).toHaveLength(1);
    expect(
      passage!.onsets[0]!.notes.map((n) => [n.pitch, n.ornament, n.graceIndex, n.durationTicks]),
    ).toEqual([
      [76, undefined, undefined, 10080],
      [77, 'grace', 1, 0],
      [79, 'grace', 0, 0],
    ]);
  });

  it('knows the signs, short and long, and U: redefines them', async () => {
    const ornaments = async (music: string, header?: string) =>
      (await abc(music, header)).passage!.onsets.map((o) => o.notes[0]!.ornament ?? '-').join(' ');
    expect(await ornaments('TC ~D ME PF !trill!G !turn!A !mordent!B')).toBe(
      'trill turn mordent mordent trill turn mordent',
    );
    expect(await ornaments('TC ~D', 'U:T=!fermata!\nU:~=!trill!\nK:C')).toBe('- trill');
    const { passage } = await abc('.C !tenuto!D LE HF !>!!fermata!G !breath!A');
    expect(passage!.onsets.map((o) => o.notes[0]!.articulations?.join('+'))).toEqual([
      'staccato',
      'tenuto',
      'accent',
      'fermata',
      'accent+fermata',
      'breath',
    ]);
  });

  it('leaves an unknown decoration out and says where', async () => {
    const reading = await abc('C !wobble!D |');
    expect(warnings(reading)).toEqual(['abc.decoration@7:3']);
  });
});

describe('tempo (ABC 2.1, 3.1.8)', () => {
  const tempo = async (q: string) =>
    (await readAbc(`X:1\nM:6/8\nL:1/8\nQ:${q}\nK:C\nC6|\n`, 't')).passage!.tempo;

  it('keeps the beat that the mark names', async () => {
    expect(await tempo('3/8=66')).toEqual({ bpm: 66, beatTicks: 15120 });
    expect(await tempo('"Allegro" 1/4=120')).toEqual({ bpm: 120, beatTicks: 10080 });
    expect(await tempo('1/4=72.5 "slow"')).toEqual({ bpm: 72.5, beatTicks: 10080 });
    expect(await tempo('1/4 3/8 1/4 3/8=40')).toEqual({ bpm: 40, beatTicks: 50400 });
    expect(await tempo('120')).toEqual({ bpm: 120, beatTicks: 5040 });
  });

  it('is 72 of the meter’s beats without a mark, and told', async () => {
    const reading = await readAbc('X:1\nM:6/8\nL:1/8\nK:C\nC6|\n', 't');
    expect(reading.passage!.tempo).toEqual({ bpm: 72, beatTicks: 15120 });
    expect(reading.issues.map((i) => i.code)).toEqual(['tempo.default']);
  });
});

describe('several tunes in a file (ABC 2.1, 2.2)', () => {
  const book = 'M:3/4\n\nX:1\nT:Low Water\nK:C\nC2|\n\nX:7\nT:High Water\nK:G\nF2|\n';

  it('finds one by its number, its title or a part of it, and reads the file header for all', async () => {
    expect(melody((await readAbc(book, 'book', { tune: 7 })).passage)).toBe('F#4 2');
    expect(melody((await readAbc(book, 'book', { tune: 'low water' })).passage)).toBe('C4 2');
    expect((await readAbc(book, 'book', { tune: 'High' })).passage!.bars[0]!.meter).toEqual({
      count: 3,
      unit: 4,
    });
    expect(melody((await readAbc(book, 'book', { tune: 2 })).passage)).toBe('F#4 2');
  });

  it('reads the first without being asked and says so; lists them where one is missing', async () => {
    expect((await readAbc(book, 'book')).issues.map((i) => i.code)).toContain('abc.several-tunes');
    const missing = await readAbc(book, 'book', { tune: 'Flood' });
    expect(missing.passage).toBeUndefined();
    expect(missing.issues[0]!.message).toBe(
      'Cannot find tune "Flood" in book: its tunes are 1 Low Water, 7 High Water',
    );
  });
});

describe('bars', () => {
  it('warns of a bar that its meter does not explain, with its number', async () => {
    const reading = await abc('C8 | D6 | E8 | F8 |]');
    expect(reading.issues.map((i) => [i.code, i.place?.bar])).toEqual([['bar.length', 2]]);
  });

  it('is silent about pickups, short bars at a double bar, free meter and last bars', async () => {
    expect((await abc('G2 | C8 | D4 || E8 | F6 |]')).issues).toEqual([]);
    expect((await abc('G2 | C9 | D4 |', 'M:none\nL:1/8\nK:C')).issues).toEqual([]);
  });

  it('rests for whole bars and numbers on after setbarnb', async () => {
    const { passage } = await abc('C8 | Z2 | [I:setbarnb 12] D8 |');
    expect(passage!.bars.map((b) => b.number)).toEqual([1, 2, 3, 12]);
    expect(passage!.onsets[1]!.tick).toBe(3 * 40320);
  });
});

describe('what is not understood', () => {
  it('is told with its line and column, and the rest is read', async () => {
    const reading = await abc('C2 @ D2 ? E2 |\nF4 # G4 |');
    expect(melody(reading.passage)).toBe('C4 2, D4 2, E4 2, F4 4, G4 4');
    expect(warnings(reading).slice(0, 3)).toEqual(['abc.unknown@7:4', 'abc.unknown@7:9', 'abc.unknown@8:4']);
  });

  it.each([
    ['[CEG', 'abc.chord@7:1'],
    ['C {gf D |', 'abc.grace@7:3'],
    ['C [K:G D |', 'abc.field@7:3'],
    ['C "Am D |', 'abc.quote@7:3'],
    ['C99999 |', 'abc.length@7:1'],
    ["C'''''''' |", 'abc.pitch@7:1'],
    ['(3:0:9 ABC |', 'abc.tuplet@7:1'],
  ])('%s is an error with its place: nothing half-read is taken as whole', async (music, expected) => {
    const reading = await abc(music);
    expect(reading.passage).toBeUndefined();
    expect(warnings(reading)).toContain(expected);
  });

  it.each([
    ['C2 [zEG]2 [z2] D2 |', 'E4+G4 2', 'abc.chord-rest@7:5'],
    ['C2 [E;G]2 z2 D2 |', 'E4+G4 2', 'abc.chord@7:6'],
    ['C2 +EG+2 z2 D2 |', 'E4+G4 2', 'abc.plus-chord@7:4'],
    ['C2 +E2G2+ z2 D2 |', 'E4+G4 2', 'abc.plus-chord@7:4'],
    ['C2 !arpeggio![EG]2 z2 D2 |', 'E4+G4 2', 'abc.arpeggio@7:4'],
    ['C2 !slide!E2 z2 D2 |', 'E4 2', 'abc.slide@7:4'],
    ['[M:FREI4/4] C2 E2 z2 D2 |', 'E4 2', 'abc.meter@7:1'],
    ['[M:5/0] C2 E2 z2 D2 |', 'E4 2', 'abc.meter@7:1'],
  ])('%s is read but for one thing, which is told with its place', async (music, chord, expected) => {
    const reading = await abc(music);
    expect(melody(reading.passage)).toBe(`C4 2, ${chord}, D4 2`);
    expect(warnings(reading)).toContain(expected);
    expect(reading.passage!.onsets.at(-1)!.tick).toBe(6 * 5040);
  });

  it.each([
    ['C4 "^rit." D4 |', ['tempo.words@7:4']],
    ['C4 [Q:"a tempo"] D4 |', ['tempo.words@7:4']],
    ['C4 "^ritornello" "Am" D4 |', []],
    ['HC4 D4 |', []],
    ['C4 Hz4 | D4 |', ['fermata.rest@7:5']],
    ['C8 H| D8 |', ['fermata.bar-line@7:5']],
  ])('%s: what bends the time and cannot be kept is told', async (music, expected) => {
    const reading = await abc(music);
    expect(warnings(reading)).toEqual(expected);
    expect(reading.passage!.onsets.at(-1)!.notes[0]!.articulations).toBeUndefined();
  });

  it('a word between plus signs stays a decoration', async () => {
    const { passage, issues } = await abc('+trill+C2 +ff+D2 E4 |');
    expect(issues).toEqual([]);
    expect(passage!.onsets[0]!.notes[0]!.ornament).toBe('trill');
    expect(melody(passage)).toBe('C4 2, D4 2, E4 4');
  });

  it('of a meter among other words the meter counts; without one the bars are as written', async () => {
    const read = await abc('CDEF GABc | D4 |', 'M:FREI4/4\nL:1/8\nK:C');
    expect(warnings(read)).toEqual(['abc.meter@4:1']);
    expect(read.passage!.bars[0]!.meter).toEqual({ count: 4, unit: 4 });
    const free = await abc('CDE | D4 | E |', 'M:frei\nL:1/8\nK:C');
    expect(warnings(free)).toEqual(['abc.meter@4:1']);
    expect(free.passage!.bars.map((b) => b.durationTicks / 5040)).toEqual([3, 4, 1]);
  });

  it('keeps the groups of a meter that writes them, and writes them again', async () => {
    const { passage } = await abc('CDEFG | [M:(2+2+3)/8] CDEFGAB |', 'M:2+3/8\nL:1/8\nK:C');
    const meters = [
      { count: 5, unit: 8, groups: [2, 3] },
      { count: 7, unit: 8, groups: [2, 2, 3] },
    ];
    expect(passage!.bars.map((b) => b.meter)).toEqual(meters);
    const again = await readAbc(writeAbc(passage!), 'again');
    expect(again.passage!.bars.map((b) => b.meter)).toEqual(meters);
  });

  it('words, symbol lines and macros are told as left out', async () => {
    const reading = await abc('C8 |\nw: la\ns: *\nm: ~g2 = {a}g{f}g\nD8 |');
    expect(reading.issues.map((i) => i.code)).toEqual(['abc.words', 'abc.symbol-line', 'abc.macro']);
  });

  it('a header without music is an error', async () => {
    expect((await readAbc('X:1\nT:Nothing\nK:C\n', 't')).issues[0]!.code).toBe('abc.no-music');
    expect((await abc('z8 |')).issues.map((i) => i.code)).toContain('notes.none');
  });
});
