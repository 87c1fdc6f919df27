// The search through a take may be done while the take is played, in whatever pieces: what comes out is the same.

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { align, alignAhead } from '../../src/matching/align.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import type { MatchSoFar } from '../../src/matching/match-so-far.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { drawnTake, noiseTake } from './drawn.ts';
import { line, perfect, wandering } from './takes.ts';

describe('a match that was begun while the take was played', () => {
  it('is the match that is made when it is over', () => {
    const takes = fc.oneof(
      drawnTake(),
      fc.record({ expectation: fc.constant(long), played: noiseTake() }),
      fc.integer({ min: 0, max: 130 }).map((cut) => ({ expectation: long, played: stumbling(cut) })),
    );
    fc.assert(
      fc.property(takes, fc.array(fc.integer({ min: 0, max: 140 })), ({ expectation, played }, looks) => {
        const soFar = lookedAt(expectation, played, looks);
        expect(align(expectation, played, soFar)).toEqual(align(expectation, played));
        // And for the same reasons.
        expect(costs(allOf(expectation, played, soFar))).toEqual(costs(allOf(expectation, played)));
      }),
      { numRuns: 60 },
    );
  });

  it('is made anew where a note was told late that belongs before others', () => {
    const played = perfect(long);
    const withoutOne = played.toSpliced(30, 1);
    const soFar = allOf(long, withoutOne);
    expect(align(long, played, soFar)).toEqual(align(long, played));
    const later = played.map((note, i) => (i === 30 ? { ...note, onMicros: note.onMicros + 90_000 } : note));
    expect(costs(allOf(long, later, allOf(long, played)))).toEqual(costs(allOf(long, later)));
    expect(align(long, withoutOne, soFar).notes[30]).toMatchObject({ verdict: 'missed' });
  });

  it('has an end: when every note is searched there is nothing more to do', () => {
    const soFar = allOf(long, perfect(long));
    expect(soFar?.whole.count).toBe(perfect(long).length);
    // At the pace with which it begins every note is where it was expected.
    expect(costs(allOf(long, perfect(long, 1.7)))![0]).toBeCloseTo(0, 5);
    expect(alignAhead(long, perfect(long), soFar)).toBe(soFar);
  });
});

// Helpers

/** Longer than what the pace of the beginning is taken from. */
const long = line(wandering(120, 3));

/** One who stumbles at the beginning, so that the pace is first taken for another. */
function stumbling(cut: number): PlayedNote[] {
  const played = perfect(long, 0.8);
  const late = played.map((note, i) => (i < 3 ? note : { ...note, onMicros: note.onMicros + 900_000 }));
  return late.slice(0, cut);
}

/** Searched ahead whenever somebody looked, a piece each time. */
function lookedAt(expectation: Expectation, played: readonly PlayedNote[], looks: readonly number[]) {
  const rising = looks.toSorted((a, b) => a - b);
  return rising.reduce<MatchSoFar | undefined>(
    (soFar, count) => alignAhead(expectation, played.slice(0, count), soFar),
    undefined,
  );
}

function allOf(expectation: Expectation, played: readonly PlayedNote[], before?: MatchSoFar) {
  let soFar = before;
  for (;;) {
    const next = alignAhead(expectation, played, soFar);
    if (next === soFar) return soFar;
    soFar = next;
  }
}

function costs(soFar: MatchSoFar | undefined) {
  return soFar?.whole.shortlist.map(({ cost }) => cost);
}
