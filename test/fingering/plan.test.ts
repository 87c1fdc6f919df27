// The plan, against brute force and against the little-finger table, which was computed by brute force with a script of
// its own (shared/tools/check_fingerings.py) and agrees with what is published of it (D. Cook, "Those Pesky Pinkies",
// The Instrumentalist, October and November 2021; SBO magazine, 19 May 2014).

import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { soundCost } from '../../src/fingering/cost.ts';
import { decisions, slidesOf } from '../../src/fingering/decision.ts';
import type { Fingering } from '../../src/fingering/fingering.ts';
import { lineCost, type PlanNote, planFingerings } from '../../src/fingering/plan.ts';
import { FINGERED, type FingeringTable, fingeringTable } from '../../src/fingering/table.ts';
import { sample } from '../sample.ts';
import { line, table } from './named.ts';

const CLARINET = table('clarinet');

const hands = (plan: ReturnType<typeof planFingerings>) =>
  plan
    .map((fingering) => (fingering?.name === 'left' ? 'L' : fingering?.name === 'right' ? 'R' : '-'))
    .join(' ');

function names(of: FingeringTable, notes: string, micros?: number): string[] {
  return planFingerings(of, line(notes, micros)).map((fingering) => fingering?.name || '-');
}

describe('the little fingers of the clarinet', () => {
  it.each([
    ['C5 D#5', 'L R'],
    ['C5 G#5', 'R L'],
    ['E3 G#3', 'L R'],
    ['E3 F#3 G#3', 'R L R'],
    ['E3 F3 F#3 G#3', 'L R L R'],
    ['B4 C#5 D#5', 'R L R'],
    ['D#5 C5 D#5', 'R L R'],
    ['C5 B4 G#5', 'L R L'],
    ['C#4 G#5', 'L L'],
    ['C#5 D#5 C5 C#5', 'L R L R'],
    ['D#5 C#5 C5 G#5', 'R L R L'],
    // Common practice, no source: the B on the left, for the D sharp is on the right only.
    ['B4 D#5', 'L R'],
  ])('%s is %s, without a slide', (notes, expected) => {
    const plan = planFingerings(CLARINET, line(notes));
    expect(hands(plan)).toBe(expected);
    expect(slidesOf(CLARINET, plan)).toEqual([]);
  });

  it.each(['D#5 C5 G#5', 'D#5 C#5 C5 D#5'])('%s cannot do without one slide', (notes) => {
    expect(slidesOf(CLARINET, planFingerings(CLARINET, line(notes)))).toHaveLength(1);
  });

  it('puts the slide where there is most time for it', () => {
    const notes = line('D#5 C#5 C5 D#5', 120_000);
    for (const slow of [0, 1, 2]) {
      const uneven = notes.map((note, i) => (i === slow ? { ...note, micros: 1_000_000 } : note));
      expect(slidesOf(CLARINET, planFingerings(CLARINET, uneven)).map(({ note }) => note)).toEqual([
        slow + 1,
      ]);
    }
  });

  it('puts the slide into a rest, however short the notes', () => {
    for (const rest of [0, 1, 2]) {
      const notes = line('D#5 C#5 C5 D#5', 90_000).map((note, i) => ({ ...note, rested: i === rest }));
      expect(slidesOf(CLARINET, planFingerings(CLARINET, notes)).map(({ note }) => note)).toEqual([rest + 1]);
    }
  });

  it('needs no slide with the extra lever', () => {
    const lever = fingeringTable('clarinet', ['left-e-flat'])!;
    expect(slidesOf(lever, planFingerings(lever, line('D#5 C#5 C5 D#5')))).toEqual([]);
  });

  it('slides as seldom as brute force over left and right on all rows of up to eight (in the quick tests six)', () => {
    const notes = ['B4', 'C5', 'C#5', 'D#5', 'G#5'];
    const ways = notes.map((note) => CLARINET.ofPitch.get(line(note)[0]!.pitch)!);
    const ground = line(notes.join(' '));
    for (const row of rows(notes.length, sample(8, 6))) {
      // B4, C5 and C#5 are on either hand and stand for each other: one order of them is enough.
      const free = [...new Set(row)].filter((i) => i < 3);
      if (free.some((i, place) => i !== place)) continue;
      const plan = planFingerings(
        CLARINET,
        row.map((i) => ground[i]!),
      );
      const fewest = fewestSlides(row.map((i) => ways[i]!));
      if (slidesOf(CLARINET, plan).length !== fewest)
        expect(row.map((i) => notes[i])).toBe(`${fewest} slides`);
    }
  });
});

describe('the plan', () => {
  const pitches = (of: FingeringTable) => [...of.ofPitch.keys()];
  const anyLine = (of: FingeringTable) =>
    fc.array(
      fc.record({
        pitch: fc.constantFrom(...pitches(of)),
        micros: fc.constantFrom(60_000, 125_000, 250_000, 900_000),
        rested: fc.boolean(),
      }),
      { minLength: 1, maxLength: 8 },
    );

  it.each(FINGERED)('costs what brute force finds on lines of up to eight notes of the %s', (name) => {
    const of = fingeringTable(name, name.includes('sax') ? ['low-b-flat', 'high-f-sharp'] : ['left-e-flat'])!;
    fc.assert(
      fc.property(anyLine(of), (notes) => {
        const plan = planFingerings(of, notes);
        const brute = bruteForce(of, notes);
        expect(lineCost(of, notes, plan)).toBe(brute.cost);
        expect(plan.map((fingering) => fingering?.rank)).toEqual(brute.ranks);
      }),
      { numRuns: sample(150, 25) },
    );
  });

  it('is cheapest on every line of up to three notes that have a choice', () => {
    for (const name of ['clarinet', 'alto-sax', 'flute'] as const) {
      const of = table(name);
      const chosen = pitches(of).filter((p) => of.ofPitch.get(p)!.length > 1);
      for (const row of rows(chosen.length, 3)) {
        const notes = row.map((i) => ({ pitch: chosen[i]!, micros: 200_000, rested: false }));
        const plan = planFingerings(of, notes);
        if (lineCost(of, notes, plan) !== bruteForce(of, notes).cost) expect(notes).toBe('planned best');
      }
    }
  });

  it('goes on around a note that is not in the table', () => {
    const plan = planFingerings(CLARINET, line('C5 D#5 C7 C5 D#5'));
    expect(hands(plan)).toBe('L R - L R');
    expect(plan[2]).toBeUndefined();
  });

  // What follows is common practice, no source.
  it.each([
    ['clarinet', 'F4 F#4 F4 F#4', 'chromatic in a trill-like run', ['-', 'chromatic', '-', 'chromatic']],
    ['clarinet', 'E4 F#4 G4', 'the standard one from below', ['-', '-', '-']],
    ['clarinet', 'A#3 D#4 A#3', 'one and one in the arpeggio', ['-', 'one-and-one', '-']],
    ['alto-sax', 'F4 F#4 F4', 'the chromatic one beside F', ['-', 'chromatic', '-']],
    ['alto-sax', 'B4 C5 B4', 'side C beside B', ['-', 'side', '-']],
    ['alto-sax', 'B4 A#4 B4', 'side B flat beside B', ['-', 'side', '-']],
    ['alto-sax', 'F4 G4 A4 A#4 A4 A#4 A4', 'bis in flat keys', ['-', '-', '-', 'bis', '-', 'bis', '-']],
    ['alto-sax', 'D5 C5 D5', 'the middle finger away from B', ['-', '-', '-']],
  ] as const)('%s, %s: %s', (name, notes, _, expected) => {
    expect(names(table(name), notes)).toEqual(expected);
  });

  it('keeps the thumb of the flute on B flat in flat keys, and off it where a B natural is near', () => {
    const thumb = (notes: string) =>
      planFingerings(table('flute'), line(notes)).map((fingering) => fingering!.keys.includes('ThBb'));
    expect(thumb('F4 G4 A4 A#4 A4 A#4 G4')).not.toContain(false);
    expect(thumb('A4 A#4 B4 A#4 B4')).not.toContain(true);
  });
});

describe('decisions', () => {
  const of = CLARINET;
  const decided = (notes: string) => {
    const ground = line(notes);
    return decisions(of, ground, planFingerings(of, ground));
  };

  it('are told only where the other choice would be dearer', () => {
    expect(decided('G4 B4 G4')).toEqual([]);
    expect(decided('E4 F#4 G4')).toEqual([]);
    expect(decided('B4 D#5').map(({ note, fingering }) => [note, fingering.name])).toEqual([[0, 'left']]);
  });

  it('are told of both hands where either way costs the same but not both notes together', () => {
    // A slide in any case; but B4 follows from C#5.
    const told = decided('D#5 C#5 B4 D#5').map(({ note }) => note);
    expect(told).toEqual(expect.arrayContaining([2]));
  });

  it('say what the other choice would have cost', () => {
    const [b] = decided('B4 D#5');
    expect(b!.reason).toMatchObject({
      kind: 'slide',
      neighbour: 1,
      shift: { digit: 'right little finger', from: 'RE', to: 'RG#', kind: 'leap' },
    });
    const [f] = decided('F4 F#4 F4');
    expect(f!.fingering.name).toBe('chromatic');
    expect(f!.reason.kind).toBe('fingers');
  });
});

// Helpers

/** All rows of indexes below `count`, of one to `most` places. */
function* rows(count: number, most: number): Generator<number[]> {
  for (let length = 1; length <= most; length++) {
    const row = new Array<number>(length).fill(0);
    for (let more = true; more; ) {
      yield [...row];
      let at = length - 1;
      while (at >= 0 && ++row[at]! === count) row[at--] = 0;
      more = at >= 0;
    }
  }
}

/** Every choice of fingerings tried: the cheapest, then fewest departures, then standard soonest. */
function bruteForce(of: FingeringTable, notes: readonly PlanNote[]) {
  const choices = notes.map(({ pitch }) => of.ofPitch.get(pitch)!);
  let best: { cost: number; ranks: number[] } | undefined;
  const departures = (ranks: readonly number[]) => ranks.filter((rank) => rank > 0).length;
  const walk = (chosen: readonly Fingering[], cost: number) => {
    if (best && cost > best.cost) return;
    const here = choices[chosen.length];
    if (!here) {
      const ranks = chosen.map(({ rank }) => rank);
      if (!best || cost < best.cost || departures(ranks) < departures(best.ranks)) best = { cost, ranks };
      return;
    }
    for (const one of here) {
      const last = chosen.at(-1);
      const at = chosen.length;
      const pair = last
        ? lineCost(of, notes.slice(at - 1, at + 1), [last, one]) - soundCost(last)
        : soundCost(one);
      walk([...chosen, one], cost + pair);
    }
  };
  walk([], 0);
  return best!;
}

/** Fewest slides over all choices of the left or the right little finger: the same finger, another key. */
function fewestSlides(ways: readonly (readonly Fingering[])[]): number {
  const little = (one: Fingering) => one.keys.find((key) => /^(L|R)(E|F|F#|C#|G#)$/.test(key))!;
  let fewest = Number.POSITIVE_INFINITY;
  const walk = (at: number, last: string | undefined, slides: number) => {
    if (slides >= fewest) return;
    if (at === ways.length) {
      fewest = slides;
      return;
    }
    for (const one of ways[at]!) {
      const key = little(one);
      walk(at + 1, key, slides + (last !== undefined && last[0] === key[0] && last !== key ? 1 : 0));
    }
  };
  walk(0, undefined, 0);
  return fewest;
}
