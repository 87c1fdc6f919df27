// Of a run that was stopped for a slip the sentence tells the slip that was made.

import { describe, expect, it } from 'vitest';
import { spellingName, spellPitch } from '../../src/music/pitch.ts';
import { foldTake, playAlone } from '../../src/take/fold.ts';
import { planTake } from '../../src/take/plan-take.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { sentence } from '../../src/wording/sentence.ts';
import { eighthStep } from '../simulation/steps-for-models.ts';
import { slipCensus } from './slip-census.ts';

const EIGHTH = 250_000;
const BEATS = Array.from({ length: 6 }, (_, beat) => beat * 10_080);
const name = (pitch: number) => spellingName(spellPitch(pitch));

/** Pitches by eighths after the first click; the run goes to its stop, or the click stops it after a slip. */
function told(written: readonly number[], played: readonly (readonly [number, number])[]): string {
  const { run, line } = eighthStep(written);
  const { terms } = planTake(
    { run: { ...run, beats: BEATS }, lines: [line] },
    { kind: 'lead-in', fromMicros: 10_000_000 },
    { attempt: 1, tolerance: TOLERANCES.steady, players: [{ lagMicros: 0, shiftSemitones: 0 }] },
  ).lines[0]!;
  const events = played.flatMap(([eighths, pitch]) => {
    const at = terms.zeroMicros + eighths * EIGHTH;
    return [
      { type: 'note-on', at, pitch, velocity: 80, channel: 0 } as const,
      { type: 'note-off', at: at + 90_000, pitch, channel: 0 } as const,
    ];
  });
  const { verdict } = foldTake(playAlone(terms, events)!);
  return sentence({ verdict }, { expected: written.map((pitch) => [name(pitch)]), ofPitch: name });
}

// C D E F G A B C, landing on the last.
const SCALE = [60, 62, 64, 65, 67, 69, 71, 72];
const [C, D, E, F, G, A] = SCALE as [number, number, number, number, number, number];

describe('the last notes before the stop', () => {
  it('tell a note left out where the next one came in its own time', () => {
    expect(
      told(SCALE, [
        [0, C],
        [1, D],
        [3, F],
        [4, G],
      ]),
    ).toMatch(/^Missed E4 after D4/);
    expect(
      told(SCALE, [
        [0, C],
        [2, E],
      ]),
    ).toMatch(/^Missed D4 after C4/);
  });

  it('tell a wrong note on the place of a right one, however far off', () => {
    expect(
      told(SCALE, [
        [0, C],
        [1, 67],
        [2, E],
        [3, F],
      ]),
    ).toMatch(/^Played G4 for D4 after C4/);
    expect(
      told(SCALE, [
        [0, C],
        [1, D],
        [2, F],
        [3, F],
      ]),
    ).toMatch(/^Played F4 for E4 after D4/);
  });

  it('tell a note added between two places', () => {
    expect(
      told(SCALE, [
        [0, C],
        [1, D],
        [1.5, A],
        [2, E],
      ]),
    ).toMatch(/^Added A4 between D4 and E4/);
  });

  it('tell a blip before the first note after the stop', () => {
    // F is the last before the beat on which the run stops, G comes on it, a moment late.
    const blip: [number, number][] = [
      [0, C],
      [1, D],
      [1.9, 63],
      [2.3, E],
      [3, F],
    ];
    expect(told(SCALE, blip)).not.toBe('');
    for (let late = 1.5; late < 2.4; late += 0.05)
      for (const before of [0.5, 0.3, 0.15])
        expect(
          told(SCALE, [
            [0, C],
            [1, D],
            [late - before, 63],
            [late, E],
          ]),
        ).toMatch(/^(Blip|Added|Played|Eb4 sounded|D#4 sounded|Missed|Dragged|Rushed|E4 alone|Uneven)/);
  });

  it('tell a swap as a swap', () => {
    expect(
      told(SCALE, [
        [0, C],
        [1, E],
        [2, D],
        [3, F],
        [4, G],
      ]),
    ).toMatch(/^(Swapped D4 and E4|Played E4 for D4)/);
  });

  it('tell a single note that came in far too late, and call no such take clean', () => {
    expect(told(SCALE, [[2, C]])).not.toMatch(/Clean/);
  });

  it('stand where this player stands on the click', () => {
    const late: [number, number][] = [
      [0, C],
      [1, D],
      [3, F],
      [4, G],
    ];
    expect(
      told(
        SCALE,
        late.map(([at, pitch]) => [at + 0.3, pitch]),
      ),
    ).toMatch(/^Missed E4 after D4/);
  });
});

describe('repeated notes on the click', () => {
  const REPEATED = [60, 60, 60, 60, 67, 67, 67, 67];

  it('tell which was left out and that none was dragged', () => {
    expect(
      told(REPEATED, [
        [0, C],
        [1, C],
        [3, C],
        [4, G],
        [5, G],
      ]),
    ).toMatch(/^One [CG]4 too few of 4: count/);
    expect(
      told(REPEATED, [
        [0, C],
        [1, C],
        [3, C],
      ]),
    ).toMatch(/^One [CG]4 too few of 4: count/);
    expect(
      told(REPEATED, [
        [0, C],
        [1, C],
        [2, C],
        [4, G],
        [5, G],
      ]),
    ).toMatch(/^One [CG]4 too few of 4: count/);
  });

  it('tell one too many from running ahead', () => {
    expect(
      told(REPEATED, [
        [0, C],
        [1, C],
        [1.5, C],
        [2, C],
        [3, C],
        [4, G],
      ]),
    ).toMatch(/^One C4 too many of 4: count/);
    expect(
      told(REPEATED, [
        [0, C],
        [1, C],
        [2, C],
        [3, C],
        [4, C],
        [5, G],
      ]),
    ).toMatch(/^Played C4 for G4/);
  });

  it('leave a hesitation what it is', () => {
    const late = SCALE.map((pitch, i): [number, number] => [i > 2 ? i + 1 : i, pitch]);
    expect(told(SCALE, late)).toMatch(/^(Hesitated|Dragged) .*F4/);
  });
});

describe('planted slips', () => {
  it('are told as what they were', async () => {
    // One in some 400 added notes is told a place too far on.
    const wrong = (await slipCensus(40, 61_000)).flatMap((one) => one.wrong);
    expect(wrong.length, wrong.join('\n')).toBeLessThanOrEqual(1);
  });
});
