// The tables, against what is published of them and against the laws that the instruments themselves impose.
// Sources: "UNSW" = University of New South Wales, music acoustics pages (clarinet B4 and E6, flute D#6 and E6).

import { describe, expect, it } from 'vitest';
import { pricedChange } from '../../src/fingering/cost.ts';
import { fingerChange } from '../../src/fingering/finger-change.ts';
import { FINGERED, fingeringTable } from '../../src/fingering/table.ts';
import { fingering, fingerings, table } from './named.ts';

/** Key sets of a note, as one comparable text each. */
function sets(of: ReturnType<typeof table>, note: string, more: readonly string[] = []): string[] {
  return fingerings(of, note)
    .map(({ keys }) => [...new Set([...keys, ...more])].sort().join(' '))
    .sort();
}

const NAMES = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'];
const nameOf = (pitch: number) => `${NAMES[pitch % 12]}${Math.floor(pitch / 12) - 1}`;

describe('the tables', () => {
  it.each(FINGERED)(
    'of the %s: every key has its digit, and no two fingerings of a note are alike',
    (name) => {
      const one = fingeringTable(name)!;
      expect(one.fingerings.length).toBeGreaterThan(30);
      for (const { keys } of one.fingerings) {
        for (const key of keys) expect(one.digitOf.has(key), key).toBe(true);
        expect(new Set(keys).size).toBe(keys.length);
      }
      for (const all of one.ofPitch.values()) {
        const alike = all.map(({ keys }) => [...keys].sort().join(' '));
        expect(new Set(alike).size).toBe(alike.length);
      }
    },
  );

  it('have no gap from the lowest to the highest note', () => {
    const reach = (name: Parameters<typeof fingeringTable>[0]) => {
      const pitches = [...fingeringTable(name)!.ofPitch.keys()].sort((a, b) => a - b);
      expect(pitches.length).toBe(pitches.at(-1)! - pitches[0]! + 1);
      return [nameOf(pitches[0]!), nameOf(pitches.at(-1)!)];
    };
    expect(reach('clarinet')).toEqual(['E3', 'F#6']);
    expect(reach('bass-clarinet')).toEqual(['E3', 'C6']);
    expect(reach('alto-sax')).toEqual(['A#3', 'F#6']);
    expect(reach('flute')).toEqual(['C4', 'C7']);
    expect(reach('piccolo')).toEqual(['D4', 'C#6']);
  });

  it('share fingers at the twelfth on the clarinet: the register key alone makes it', () => {
    const clarinet = table('clarinet');
    for (let pitch = 52; pitch <= 65; pitch++) {
      expect(sets(clarinet, nameOf(pitch), ['Rk'])).toEqual(sets(clarinet, nameOf(pitch + 19)));
    }
  });

  it('share fingers at the octave on the saxophone from D4: the octave key alone makes it', () => {
    const sax = table('alto-sax');
    for (let pitch = 62; pitch <= 72; pitch++) {
      // D5 has a palm fingering of its own kind beside it.
      const upper = fingerings(sax, nameOf(pitch + 12)).filter(({ keys }) => keys.includes('Oct'));
      const lower = fingerings(sax, nameOf(pitch));
      expect(upper.map(({ keys }) => keys.filter((key) => key !== 'Oct'))).toEqual(
        lower.map(({ keys }) => keys),
      );
    }
  });

  it('share all fingers at the octave on the flute from E4 to C#5', () => {
    const flute = table('flute');
    for (let pitch = 64; pitch <= 73; pitch++) {
      expect(sets(flute, nameOf(pitch))).toEqual(sets(flute, nameOf(pitch + 12)));
    }
  });

  it('UNSW: clarinet B4 is E3 with the register key; flute D#6 is D#4 with G#, E6 is E4 with the left ring finger up', () => {
    expect(sets(table('clarinet'), 'B4')).toEqual(sets(table('clarinet'), 'E3', ['Rk']));
    const flute = table('flute');
    expect(sets(flute, 'D#6')).toEqual(expect.arrayContaining(sets(flute, 'D#4', ['LG#'])));
    expect([...fingering(flute, 'E6').keys].sort()).toEqual(
      fingering(flute, 'E4')
        .keys.filter((key) => key !== 'L3')
        .sort(),
    );
  });

  it('UNSW: over the break of the clarinet, A#4 to B4, eight digits move', () => {
    const clarinet = table('clarinet');
    const change = fingerChange(clarinet, fingering(clarinet, 'A#4'), fingering(clarinet, 'B4'));
    expect([...change.moved].sort()).toEqual(
      [
        'left thumb',
        'left index finger',
        'left middle finger',
        'left ring finger',
        'left little finger',
        'right index finger',
        'right middle finger',
        'right ring finger',
      ].sort(),
    );
    expect(change.overBreak).toBe(true);
  });

  // Computed from the tables with a script of its own (shared/tools/check_fingerings.py).
  it.each([
    ['alto-sax', 'C5', 'D5', 6],
    ['alto-sax', 'C#5', 'D5', 7],
    ['flute', 'C5', 'D5', 8],
    ['clarinet', 'G4', 'A4', 1],
    ['clarinet', 'A4', 'B4', 8],
  ] as const)('%s %s to %s: %i digits', (name, from, to, digits) => {
    const one = table(name);
    expect(fingerChange(one, fingering(one, from), fingering(one, to)).moved).toHaveLength(digits);
  });

  it('bring the left lever only where it is told to be, and mark it as believed', () => {
    expect(fingerings(table('clarinet'), 'D#5').map(({ name }) => name)).toEqual(['right']);
    const lever = fingerings(fingeringTable('clarinet', ['left-e-flat'])!, 'D#5');
    expect(lever.map(({ name, grade }) => [name, grade])).toEqual([
      ['right', 'A'],
      ['left', 'B'],
    ]);
  });

  it('know the low B flat and the high F sharp of saxophones as keywork', () => {
    expect(fingerings(fingeringTable('alto-sax', [])!, 'A#3')).toEqual([]);
    expect(fingerings(table('alto-sax'), 'A#3')).toHaveLength(1);
    expect(fingerings(table('alto-sax'), 'F#6').map(({ name }) => name)).toEqual(['front']);
    expect(fingerings(fingeringTable('alto-sax', ['high-f-sharp'])!, 'F#6').map(({ name }) => name)).toEqual([
      'palm',
      'front',
    ]);
  });

  it('let the thumb stay on the B-flat lever of the flute everywhere but on B natural, F#6 and B6', () => {
    const flute = table('flute');
    const held = (note: string) => fingerings(flute, note).some(({ keys }) => keys.includes('ThBb'));
    expect(['A4', 'G5', 'F4', 'A#5', 'E6'].every(held)).toBe(true);
    expect(['B4', 'B5', 'F#6', 'B6', 'C5', 'C#5'].some(held)).toBe(false);
  });
});

describe('the cost of a change', () => {
  const cost = (
    name: Parameters<typeof table>[0],
    from: string,
    to: string,
    which: readonly [string, string],
  ) => {
    const one = table(name);
    return pricedChange(one, fingering(one, from, which[0]), fingering(one, to, which[1])).cost;
  };

  it('is nothing for the same fingering and the same forth and back', () => {
    expect(cost('clarinet', 'C4', 'C4', ['', ''])).toBe(0);
    expect(cost('flute', 'E4', 'E5', ['', ''])).toBe(10);
    expect(cost('clarinet', 'G4', 'B4', ['', 'left'])).toBe(cost('clarinet', 'B4', 'G4', ['left', '']));
  });

  it('grows with contrary motion, rolls, rollers and slides, in this order', () => {
    const plain = cost('alto-sax', 'C4', 'D4', ['', '']);
    const between = cost('alto-sax', 'G4', 'F4', ['', '']);
    expect(plain).toBe(10);
    expect(between).toBe(10);
    // L2 comes up and L1 goes down.
    expect(cost('alto-sax', 'C5', 'B4', ['', ''])).toBe(26);
    expect(cost('clarinet', 'G#4', 'A4', ['', ''])).toBe(15);
    expect(cost('alto-sax', 'A#4', 'B4', ['bis', ''])).toBe(25);
    expect(cost('alto-sax', 'B3', 'A#3', ['', ''])).toBe(25);
    expect(cost('clarinet', 'C5', 'B4', ['left', 'left'])).toBe(50);
    expect(cost('clarinet', 'C5', 'B4', ['left', 'right'])).toBe(24);
  });
});
