import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkListing } from '../../../src/wording/listing/check.ts';
import { keyText, listPassage } from '../../../src/wording/listing/passage.ts';
import { generatedPassage } from '../../notation/generated-passage.ts';
import { madePassage, quarters } from '../../notation/made-passage.ts';

describe('the listing of a passage', () => {
  it('shows names at their height over a ruler of beats, with bar and onset numbers', () => {
    const passage = madePassage(
      [
        { at: 0, length: 1, pitch: 67 },
        { at: 1, length: 0.5, pitch: 71 },
        { at: 1.5, length: 0.5, pitch: 67 },
        { at: 3, length: 3, pitch: 74 },
        { at: 3, length: 1, pitch: 66 },
        { at: 6, length: 0, pitch: 73, grace: true },
        { at: 6, length: 1, pitch: 71 },
      ],
      { pickupQuarters: 1, fifths: 1, marks: { A: 1 } },
    );
    expect(listPassage(passage)).toEqual([
      'Made passage',
      'keyboard, 4/4, G major, goal 60 quarters a minute',
      'bars 0 to 2, onsets 1 to 5',
      '',
      '       0   bar 1 [A]           bar 2',
      '                       D5---------',
      '                                   c#5',
      '           B4                      B4',
      '       G4      G4',
      '                       F#4',
      'beat  |4  |1   .   2   3   4  |1   2   3   4',
      'onset  1   2   3       4           5',
      '',
      'Small letters are grace notes.',
    ]);
  });

  it('breaks between bars, and inside a bar only where it does not fit', () => {
    const lines = listPassage(madePassage(quarters(40)), 60);
    const rulers = lines.filter((line) => line.startsWith('beat'));
    expect(rulers).toHaveLength(4);
    expect(rulers.slice(0, 3).every((line) => line.endsWith('4') && line.includes('|1'))).toBe(true);
    const full = madePassage(
      Array.from({ length: 32 }, (_, i) => ({ at: i / 8, length: 0.125, pitch: 60 + (i % 12) })),
    );
    const broken = listPassage(full, 80).filter((line) => line.startsWith('beat'));
    // Eight columns a beat: two beats a row.
    expect(broken.map((line) => line.replace(/[ .]+/g, ' ').trim())).toEqual(['beat |1 2', 'beat 3 4']);
  });

  it('lists the whole bars of a part of the onsets, with the numbers of all', () => {
    const numbersOf = (lines: string[]) =>
      lines.filter((line) => line.startsWith('onset')).flatMap((line) => line.match(/\d+/g) ?? []);
    const lines = listPassage(madePassage(quarters(40)), 80, { range: { first: 7, last: 9 } });
    expect(lines).toContain('bars 1 to 10, onsets 1 to 40');
    expect(lines).toContain('here: bars 2 to 3');
    expect(numbersOf(lines)).toEqual(['5', '6', '7', '8', '9', '10', '11', '12']);
    expect(listPassage(madePassage(quarters(40)), 80, { range: { first: 1, last: 40 } })).toEqual(
      listPassage(madePassage(quarters(40))),
    );
  });

  it('lists the parts one under the other, with the numbers of the whole', () => {
    const lines = listPassage(
      madePassage(
        [
          { at: 0, length: 1, pitch: 72 },
          { at: 1, length: 1, pitch: 48, part: 1 },
          { at: 2, length: 1, pitch: 72 },
        ],
        { instruments: ['clarinet', 'bassoon'] },
      ),
    );
    expect(lines).toContain('Part 1: Part 1, clarinet in Bb');
    expect(lines).toContain('Part 2: Part 2, bassoon');
    const numbers = lines
      .filter((line) => line.startsWith('onset'))
      .map((line) => line.trim().split(/\s+/).slice(1));
    expect(numbers).toEqual([['1', '3'], ['2']]);
  });

  it('warns of notes outside the range, by their written names', () => {
    const lines = listPassage(madePassage([{ at: 0, length: 1, pitch: 45 }], { instruments: ['clarinet'] }));
    expect(lines.at(-1)).toBe('! Outside the range of the clarinet in Bb: B2 (onset 1)');
  });

  it('is plain ASCII, no wider than asked, and names every onset once for each part it is in', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 100_000 }), fc.constantFrom(40, 64, 80, 132), (seed, columns) => {
        const passage = generatedPassage(seed);
        const lines = listPassage(passage, columns);
        for (const line of lines) {
          expect(line.length).toBeLessThanOrEqual(columns);
          expect(line).toMatch(/^[ -~]*$/);
        }
        const listed = lines
          .filter((l) => l.startsWith('onset'))
          .flatMap((l) => l.trim().split(/\s+/).slice(1).map(Number));
        const expected = passage.parts.flatMap((_, part) =>
          passage.onsets.flatMap((o, i) => (o.notes.some((n) => n.part === part) ? [i + 1] : [])),
        );
        expect(listed).toEqual(expected);
      }),
      { numRuns: 150 },
    );
  });

  // Common practice, no source: a signature's fifths and its modes' tonics.
  it.each([
    [0, 'major', 'C major'],
    [-3, 'minor', 'C minor'],
    [2, 'dorian', 'E dorian'],
    [0, 'lydian', 'F lydian'],
    [-1, 'mixolydian', 'C mixolydian'],
    [0, 'phrygian', 'E phrygian'],
    [7, 'locrian', 'B# locrian'],
    [7, 'minor', 'A# minor'],
    [-7, 'major', 'Cb major'],
  ] as const)('calls a signature of %i in the mode %s %s', (fifths, mode, text) => {
    expect(keyText(fifths, mode)).toBe(text);
  });
});

describe('the listing of a check', () => {
  const passage = madePassage(quarters(5), { instruments: ['flute'] });

  it('says how many notes were read, then errors and warnings with their places', () => {
    expect(
      checkListing({
        passage,
        noteCount: 5,
        issues: [
          {
            code: 'a',
            message: 'left out a  sign\nnot known',
            severity: 'warning',
            place: { line: 3, column: 7 },
          },
          { code: 'b', message: 'bar is short', severity: 'warning', place: { bar: 2 } },
        ],
      }),
    ).toEqual([
      'Read 5 notes in 5 onsets and 2 bars, 1 part: Part 1.',
      '! line 3, column 7: left out a sign not known',
      '! bar 2: bar is short',
      '0 errors, 2 warnings.',
    ]);
  });

  it('says that nothing was read where there is an error', () => {
    expect(
      checkListing({
        noteCount: 0,
        issues: [
          { code: 'w', message: 'odd', severity: 'warning' },
          { code: 'e', message: 'cut short', severity: 'error', place: { byte: 40 } },
        ],
      }),
    ).toEqual([
      'Nothing was read: the file has errors, and half a passage is none.',
      'x byte 40: cut short',
      '! odd',
      '1 error, 1 warning.',
    ]);
  });

  it('says so where all was understood', () => {
    expect(checkListing({ passage, noteCount: 5, issues: [] }).at(-1)).toBe(
      'Everything in the file was understood.',
    );
  });
});
