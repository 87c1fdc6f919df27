// All small cases against brute force: every way to pair a line and a take in order, the fewest slips counted.

import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import { alignmentSoFar, passTime } from '../../src/matching/follow.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { sample } from '../sample.ts';
import { followAll } from './drawn.ts';
import { line, take } from './takes.ts';

const PITCHES = [60, 64, 67];
const FOREIGN = 62;

/** Fewest wrong, missed and added notes over all pairings in order, by trying them all. */
function fewestSlips(wanted: readonly number[], got: readonly number[]): number {
  if (wanted.length === 0) return got.length;
  if (got.length === 0) return wanted.length;
  const [w, ...restWanted] = wanted;
  const [g, ...restGot] = got;
  return Math.min(
    (w === g ? 0 : 1) + fewestSlips(restWanted, restGot),
    1 + fewestSlips(restWanted, got),
    1 + fewestSlips(wanted, restGot),
  );
}

function slips({ notes, extras }: ReturnType<typeof align>): number {
  return notes.filter((n) => n.verdict !== 'right').length + extras.length;
}

function* lines(length: number): Generator<number[]> {
  if (length === 0) yield [];
  else for (const rest of lines(length - 1)) for (const pitch of PITCHES) yield [...rest, pitch];
}

/** Every take with one note changed, left out or added, in otherwise even time. */
function* takesWithOneSlip(pitches: readonly number[]): Generator<PlayedNote[]> {
  const even = pitches.map((pitch, i) => [250 * i, pitch] as const);
  for (let i = 0; i < pitches.length; i++) {
    yield take(even.map(([ms, pitch], k) => [ms, k === i ? FOREIGN : pitch] as const));
    yield take(even.filter((_, k) => k !== i));
    if (i > 0) yield take([...even.slice(0, i), [250 * i - 125, FOREIGN], ...even.slice(i)]);
  }
}

describe('all lines of five notes (in the quick tests four) on three pitches', () => {
  it('with one slip are matched with the one slip that brute force finds', () => {
    let cases = 0;
    const length = sample(5, 4);
    for (const pitches of lines(length)) {
      for (const played of takesWithOneSlip(pitches)) {
        const fewest = fewestSlips(
          pitches,
          played.map((n) => n.pitch),
        );
        expect(fewest).toBe(1);
        expect(slips(align(line(pitches), played))).toBe(fewest);
        cases++;
      }
    }
    expect(cases).toBe(3 ** length * (3 * length - 1));
  });

  it('with one slip are followed to the same, but for a few of repeated notes', () => {
    let [same, cases] = [0, 0];
    for (const pitches of lines(4)) {
      for (const played of takesWithOneSlip(pitches)) {
        const follower = passTime(followAll(line(pitches), played), 1e10);
        cases++;
        if (slips(alignmentSoFar(follower)) === 1) same++;
      }
    }
    expect(same / cases).toBeGreaterThan(0.97);
  });
});
