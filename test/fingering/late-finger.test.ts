// Late fingers, worked by hand from the tables: which keys are down while some fingers have moved and others have not.

import { describe, expect, it } from 'vitest';
import { lateFingers } from '../../src/fingering/late-finger.ts';
import { fingering, pitch, table } from './named.ts';

describe('late fingers', () => {
  it.each([
    // R3 still down when the foot key goes down again: D# sounds.
    ['flute', 'D4', '', 'E4', '', 'D#4', 'late', ['right ring finger']],
    // Both fingers come up, the index finger first: the middle finger alone is F#.
    ['clarinet', 'A3', '', 'C4', '', 'B3', 'late', ['right middle finger']],
    ['clarinet', 'A3', '', 'C4', '', 'A#3', 'late', ['right index finger']],
    ['clarinet', 'C4', '', 'E4', '', 'D4', 'late', ['left middle finger']],
    // Neither little finger down for a moment: D5 sounds.
    ['clarinet', 'B4', 'left', 'C5', 'right', 'D5', 'late', ['right little finger']],
    ['clarinet', 'B4', 'right', 'C5', 'right', 'D5', 'late', ['right little finger']],
    // Of three fingers one came up before the others.
    ['clarinet', 'C4', '', 'F4', '', 'D4', 'early', ['left ring finger']],
    // The octave key alone: C5 with it is C6.
    ['alto-sax', 'C5', '', 'D5', '', 'C6', 'early', ['left thumb']],
    // Down on the break: all but the little finger are there, so D5 came before B4.
    ['clarinet', 'A4', '', 'B4', 'left', 'D5', 'late', ['left little finger']],
  ] as const)('%s %s%s to %s%s: %s means %s %j', (name, from, fromName, to, toName, heard, way, digits) => {
    const of = table(name);
    const found = lateFingers(of, fingering(of, from, fromName), fingering(of, to, toName), pitch(heard));
    expect(found).toEqual({ way, digits });
  });

  it('says nothing where no set of keys between the two gives the note', () => {
    const of = table('clarinet');
    expect(lateFingers(of, fingering(of, 'C4'), fingering(of, 'E4'), pitch('G5'))).toBeUndefined();
    expect(lateFingers(of, fingering(of, 'G4'), fingering(of, 'A4'), pitch('B4'))).toBeUndefined();
  });

  it('says nothing of the two notes themselves', () => {
    const of = table('clarinet');
    expect(lateFingers(of, fingering(of, 'C4'), fingering(of, 'E4'), pitch('C4'))).toBeUndefined();
  });
});
