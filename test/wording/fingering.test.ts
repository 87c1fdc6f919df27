// Fingerings in words.

import { describe, expect, it } from 'vitest';
import { fingerChange } from '../../src/fingering/finger-change.ts';
import { lateFingers } from '../../src/fingering/late-finger.ts';
import { fingeringTable } from '../../src/fingering/table.ts';
import { changeWords, fingeringMark, lateFingerWords } from '../../src/wording/fingering.ts';
import { fingering, fingerings, pitch, table } from '../fingering/named.ts';

describe('fingerings in words', () => {
  it.each([
    ['clarinet', 'A#4', '', 'B4', 'left', 'eight fingers at once over the break'],
    ['clarinet', 'C5', 'left', 'B4', 'right', 'two fingers at once, one hand against the other'],
    ['clarinet', 'D#5', '', 'C5', 'right', 'one finger, the right little finger slides'],
    ['alto-sax', 'F4', '', 'F#4', '', 'two fingers at once, in contrary motion'],
    ['flute', 'E4', '', 'E5', '', 'the same fingers over the break'],
    ['clarinet', 'E4', '', 'E4', '', 'the same fingers'],
  ] as const)('%s %s%s to %s%s: %s', (name, from, fromName, to, toName, words) => {
    const of = table(name);
    const one = fromName === '' ? fingering(of, from) : fingering(of, from, fromName);
    const other = toName === '' ? fingering(of, to) : fingering(of, to, toName);
    expect(changeWords(fingerChange(of, one, other))).toBe(words);
  });

  it('mark hands with a letter, alternates with a short name, what is only believed with a question mark', () => {
    const lever = fingeringTable('clarinet', ['left-e-flat'])!;
    expect(fingerings(lever, 'D#5').map(fingeringMark)).toEqual(['R', 'L?']);
    expect(fingerings(lever, 'F#4').map(fingeringMark)).toEqual(['', 'chr']);
  });

  it('say which finger was late', () => {
    const flute = table('flute');
    const late = lateFingers(flute, fingering(flute, 'D4'), fingering(flute, 'E4'), pitch('D#4'))!;
    expect(lateFingerWords(late)).toBe('the right ring finger was late');
    expect(lateFingerWords({ way: 'early', digits: ['left thumb', 'right side'] })).toBe(
      'the left thumb and the right side were early',
    );
  });
});
