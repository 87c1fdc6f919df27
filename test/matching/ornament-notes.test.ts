// Which notes belong to a written ornament. Lines and takes are ours.

import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import { take, verdicts } from './takes.ts';
import { writtenLine } from './written.ts';

type Note = readonly [ms: number, pitch: number, lasts: number];

/** C, a trilled D, E and F in sixteenths of 250 ms. */
async function told(notes: readonly Note[], line = 'C TD E F') {
  const { notes: verdict, extras } = align(await writtenLine(line), take(notes));
  return [verdicts(verdict), ...extras.map(({ kind, played }) => `${kind} ${played}`)];
}

const C: Note = [0, 60, 200];
const E: Note = [500, 64, 200];
const F: Note = [750, 65, 200];
const trill = (from: number, pitches: readonly number[]): Note[] =>
  pitches.map((pitch, i) => [from + 60 * i, pitch, 50]);

describe('a written trill', () => {
  it('may begin on its note or with the neighbour, shortly before it', async () => {
    expect(await told([C, ...trill(250, [62, 64, 62]), E, F])).toEqual(['rrrr', 'ornament 2', 'ornament 3']);
    expect(await told([C, ...trill(190, [64, 62, 64, 62]), E, F])).toEqual([
      'rrrr',
      'ornament 1',
      'ornament 3',
      'ornament 4',
    ]);
  });

  it('may be left out, and its first note may be the first of the line', async () => {
    expect(await told([C, [250, 62, 200], E, F])).toEqual(['rrrr']);
    expect(await told([...trill(0, [60, 62, 60, 62]), [250, 62, 200], E], 'TC D E')).toEqual([
      'rrr',
      'ornament 1',
      'ornament 2',
      'ornament 3',
    ]);
  });

  it('ends where its last note could be the next one of the line, in time', async () => {
    expect(await told([C, ...trill(250, [62, 64, 62, 64]), E, F])).toEqual([
      'rrrr',
      'ornament 2',
      'ornament 3',
      'ornament 4',
    ]);
    // The trill stops on its neighbour just when that is due: it is the next note.
    expect(await told([C, ...trill(250, [62, 64, 62]), [495, 64, 200], F])).toEqual([
      'rrrr',
      'ornament 2',
      'ornament 3',
    ]);
  });

  it('has no third, no note long before its own, and none after its time', async () => {
    expect(await told([C, [250, 62, 50], [310, 66, 70], [370, 62, 50], E, F])).toEqual([
      'rrrr',
      'extra 2',
      'ornament 3',
    ]);
    expect(await told([C, [60, 63, 70], [250, 62, 200], E, F])).toEqual(['rrrr', 'extra 1']);
    const late = await told([C, [250, 62, 200], [500, 67, 200], [650, 63, 80], [1000, 69, 200]], 'C TD G A');
    expect(late).toEqual(['rrrr', 'extra 3']);
  });

  it('is no excuse for an added note where nothing is trilled', async () => {
    const added: Note[] = [
      [330, 64, 75],
      [410, 62, 75],
    ];
    expect(await told([C, [250, 62, 75], ...added, E, F], 'C D E F')).toEqual(['rrrr', 'extra 2', 'extra 3']);
  });
});

describe('written grace notes', () => {
  it('are right where they are played before their note, each once, and may be left out', async () => {
    const line = 'C {EF}D E';
    expect(await told([C, [130, 64, 50], [190, 65, 50], [250, 62, 200], E], line)).toEqual(['rrrrr']);
    // The written notes of an onset are in the order of their pitches.
    expect(await told([C, [250, 62, 200], E], line)).toEqual(['rroor']);
    const twice = await told([C, [130, 64, 70], [200, 64, 70], [250, 62, 200], E], line);
    expect(twice).toHaveLength(2);
    expect(twice[0]).toBe('rrror');
    expect(twice[1]).toMatch(/^extra [12]$/);
  });
});
