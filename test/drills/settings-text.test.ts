import { describe, expect, it } from 'vitest';
import { DRILLS, findDrill } from '../../src/drills/catalogue.ts';
import {
  readClick,
  readDrillNames,
  readEvery,
  readHold,
  readNoteValue,
  readSnags,
  readVariants,
} from '../../src/drills/settings-text.ts';
import { problem, value } from './made.ts';

describe('settings as they are typed', () => {
  it.each([
    ['1/2', 0.5],
    ['0.5', 0.5],
    ['1', 1],
    [' 2 ', 2],
    ['4', 4],
    ['bar', 'bar'],
    ['Growing', 'growing'],
  ])('--every %s', (text, every) => {
    expect(value(readEvery(text))).toBe(every);
  });

  it.each(['', '0', '-1', '1.5', '1/3', '99', '1e1', 'NaN', 'Infinity'])(
    '--every "%s" is refused',
    (text) => {
      expect(problem(readEvery(text)).exitStatus).toBe(2);
    },
  );

  it('--every suggests near words', () => {
    expect(problem(readEvery('growign')).hint).toBe('Did you mean growing?');
  });

  it('--hold takes whole beats or a bar', () => {
    expect(value(readHold('2'))).toBe(2);
    expect(value(readHold('bar'))).toBe('bar');
    for (const text of ['0', '1.5', '-1', 'long', ''])
      expect(problem(readHold(text)).code).toBe('drill.hold-text');
  });

  it('--snag takes one onset or several', () => {
    expect(value(readSnags('5'))).toEqual([5]);
    expect(value(readSnags('5, 9'))).toEqual([5, 9]);
    for (const text of ['', ',', 'five', '0', '5,x', '2.5', '-3']) {
      expect(problem(readSnags(text)).code).toBe('drill.snag-text');
    }
  });

  it('--variant takes those of the drills played', () => {
    const drills = value(readDrillNames('landings,switchback'));
    expect(value(readVariants('retrograde, Inversion', drills))).toEqual(['retrograde', 'inversion']);
    expect(value(readVariants('backwards, mirrored', drills))).toEqual(['retrograde', 'inversion']);
    expect(problem(readVariants('backward', drills)).hint).toBe('Did you mean backwards?');
    expect(problem(readVariants('retrogrde', drills)).hint).toBe('Did you mean retrograde?');
    expect(problem(readVariants('by-beat', drills)).hint).toBe('It is a variant of widening.');
    expect(problem(readVariants('inversion', [value(findDrill('through'))])).message).toBe(
      'Cannot find variant "inversion" of through: there are none',
    );
    expect(problem(readVariants('', DRILLS)).code).toBe('drill.variant-unknown');
  });

  it('--click takes a placement', () => {
    expect(value(readClick('silent-bars'))).toBe('silent-bars');
    expect(problem(readClick('off-beat')).hint).toBe('Did you mean offbeat?');
    expect(problem(readClick('constructor')).code).toBe('drill.click-text');
  });

  it('a note value is a fraction of a whole note', () => {
    expect(['1/4', '1/8', '1/16', '1/12', '1/8.', '1/20'].map((text) => value(readNoteValue(text)))).toEqual([
      10_080, 5040, 2520, 3360, 7560, 2016,
    ]);
    for (const text of ['1/0', '8', '1/11', '2/8', '1/-8', '']) {
      expect(problem(readNoteValue(text)).code).toBe('drill.note-value');
    }
  });

  it('drills are named with commas', () => {
    expect(value(readDrillNames('landings, widening')).map((drill) => drill.name)).toEqual([
      'landings',
      'widening',
    ]);
    expect(problem(readDrillNames('landings,widning')).hint).toBe('Did you mean widening?');
    expect(problem(readDrillNames(' , ')).code).toBe('drill.none');
  });
});
