import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { switchback } from '../../src/drills/switchback.ts';
import { INSTRUMENTS } from '../../src/music/instrument.ts';
import { spellingName, spellingToPitch } from '../../src/music/pitch.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { arbitrarySpan } from './arbitrary-passage.ts';
import { line } from './line.ts';
import { made, type OneLine, refused } from './made.ts';

const four = wholeSpan(line('C4 D4 E4 F4'));
const GO = { variants: ['in-one-go'] };

describe('switchback', () => {
  it('over four notes is 1 2 1 2 3 2 1 2 3 4 3 2 1 (common practice, no source)', () => {
    const [pattern] = made(switchback, four, GO);
    expect(numbers([pattern!])).toEqual([[1, 2, 1, 2, 3, 2, 1, 2, 3, 4, 3, 2, 1]]);
  });

  it('goes lap by lap, each out from the first note and back to it', () => {
    const steps = made(switchback, four);
    expect(numbers(steps)).toEqual([
      [1, 2, 1],
      [1, 2, 3, 2, 1],
      [1, 2, 3, 4, 3, 2, 1],
    ]);
    expect(steps.map((step) => step.name)).toEqual([
      'lap 1: notes 1 to 2',
      'lap 2: notes 1 to 3',
      'lap 3: notes 1 to 4',
    ]);
  });

  it('has as many notes as the central polygonal numbers 3, 7, 13, 21, 31, 43 (OEIS A002061, from memory)', () => {
    const notes = 'C4 D4 E4 F4 G4 A4 B4'.split(' ');
    const counts = [2, 3, 4, 5, 6, 7].map(
      (n) => made(switchback, wholeSpan(line(notes.slice(0, n).join(' '))), GO)[0]!.onsets.length,
    );
    expect(counts).toEqual([3, 7, 13, 21, 31, 43]);
  });

  it('is free: no click, no bar, all notes equal, ticks from its own start', () => {
    const span = { passage: line('C4*2 D4 E4/2 F4/2 G4 A4 B4'), first: 2, last: 7 };
    const [, lap] = made(switchback, span);
    expect(lap).toMatchObject({
      pulse: 'free',
      startTick: 0,
      stopTick: 4 * 5040,
      leadInBeats: 0,
      clicks: [],
    });
    expect(lap!.onsets.map((onset) => onset.tick)).toEqual([0, 5040, 10_080, 15_120, 20_160]);
    expect(lap!.onsets.every((onset) => onset.durationTicks === 5040)).toBe(true);
  });

  it('takes any equal note value', () => {
    const [lap] = made(switchback, four, { noteTicks: 3360 });
    expect(lap!.onsets.map((onset) => onset.tick)).toEqual([0, 3360, 6720]);
    expect(refused(switchback, four, { noteTicks: 0 }).code).toBe('drill.note-value');
    expect(refused(switchback, four, { noteTicks: 0.5 }).code).toBe('drill.note-value');
  });

  it('clicks the beats of the tempo on request, without bar ones', () => {
    const [lap] = made(switchback, four, { variants: ['with-click'] });
    expect(lap).toMatchObject({ pulse: 'click', leadInBeats: 4 });
    expect(lap!.clicks.map((click) => click.tick / 10_080)).toEqual([-4, -3, -2, -1, 0, 1, 2]);
    expect(new Set(lap!.clicks.map((click) => click.accent))).toEqual(new Set(['beat']));
  });

  it('goes out from the last note', () => {
    expect(numbers(made(switchback, four, { variants: ['from-last'] }))).toEqual([
      [4, 3, 4],
      [4, 3, 2, 3, 4],
      [4, 3, 2, 1, 2, 3, 4],
    ]);
  });

  it('backwards begins with the longest lap, and backwards again is the pattern', () => {
    fc.assert(
      fc.property(arbitrarySpan({ maxOnsets: 12 }), (span) => {
        const [forward] = made(switchback, span, GO);
        const [backward] = made(switchback, span, { variants: ['in-one-go', 'retrograde'] });
        expect(numbers([backward!])[0]).toEqual(numbers([forward!])[0]!.toReversed());
      }),
    );
  });

  it('inverts by the steps of the key or by semitones about the first note', () => {
    const tune = wholeSpan(line('D4 E4 F#4 G4 A4', { fifths: 2 }));
    const last = (variant: string) =>
      made(switchback, tune, { variants: [variant] })
        .at(-1)!
        .onsets.slice(0, 5);
    expect(last('inversion').map((o) => spellingName(o.notes[0]!.spelling))).toEqual([
      'D4',
      'C#4',
      'B3',
      'A3',
      'G3',
    ]);
    expect(last('chromatic-inversion').map((o) => spellingName(o.notes[0]!.spelling))).toEqual([
      'D4',
      'C4',
      'Bb3',
      'A3',
      'G3',
    ]);
  });

  it('inverts about the top note of a chord', () => {
    const [lap] = made(switchback, wholeSpan(line('C4+E4 F4')), { variants: ['inversion'] });
    expect(lap!.onsets.slice(0, 2).map((o) => o.notes.map((note) => spellingName(note.spelling)))).toEqual([
      ['E4', 'G4'],
      ['D4'],
    ]);
  });

  it('turns only where the line changes direction or repeats a note', () => {
    const tune = wholeSpan(line('C4 D4 E4 D4 C4 C4 D4'));
    expect(
      numbers(made(switchback, tune, { variants: ['at-turns'] })).map((lap) => Math.max(...lap)),
    ).toEqual([3, 5, 6, 7]);
  });

  it('plays chords and grace notes as one onset', () => {
    const [lap] = made(switchback, wholeSpan(line('C4+E4 ~D4+E4+G4')));
    expect(lap!.onsets.map((onset) => onset.notes.map((note) => note.durationTicks))).toEqual([
      [5040, 5040],
      [0, 5040, 5040],
      [5040, 5040],
    ]);
  });

  it('strikes n² - n + 1 notes, the bottom one n times, and moves by one note at a time', () => {
    fc.assert(
      fc.property(arbitrarySpan({ maxOnsets: 20 }), fc.boolean(), (span, fromLast) => {
        const n = span.last - span.first + 1;
        const variants = ['in-one-go', ...(fromLast ? ['from-last'] : [])];
        const [step] = made(switchback, span, { variants, noteTicks: 3360 });
        expect(step!.stopTick).toBe((n * n - n) * 3360);
        step!.onsets.forEach((onset, i) => {
          expect(onset.tick).toBe(i * 3360);
        });
        const run = numbers([step!])[0]!;
        expect(run).toHaveLength(n * n - n + 1);
        expect(run.filter((number) => number === (fromLast ? span.last : span.first))).toHaveLength(n);
        for (let i = 1; i < run.length; i++) expect(Math.abs(run[i]! - run[i - 1]!)).toBe(1);
      }),
    );
  });

  it('lap by lap joins by exactly one onset and makes the whole pattern', () => {
    fc.assert(
      fc.property(arbitrarySpan({ maxOnsets: 20 }), (span) => {
        const laps = numbers(made(switchback, span));
        const [whole] = numbers(made(switchback, span, GO));
        expect(laps.flatMap((lap, k) => (k === 0 ? lap : lap.slice(1)))).toEqual(whole);
      }),
    );
  });

  it('inverted stays in the written range of the instrument or is refused', () => {
    let refusals = 0;
    let inversions = 0;
    fc.assert(
      fc.property(
        arbitrarySpan({ maxOnsets: 6 }),
        fc.constantFrom('inversion', 'chromatic-inversion'),
        (span, kind) => {
          const result = switchback.makeSteps(span, { tempo: span.passage.tempo, variants: [kind] });
          if (!result.ok) {
            refusals++;
            expect(result.problem.code).toMatch(/^drill\.inversion-(range|spelling)$/);
            return;
          }
          inversions++;
          const { lowest, highest, transposition } = INSTRUMENTS[span.passage.parts[0]!.instrument];
          for (const note of result.value.flatMap((step) =>
            step.lines[0]!.onsets.flatMap((onset) => onset.notes),
          )) {
            expect(note.pitch - transposition).toBe(spellingToPitch(note.spelling));
            expect(note.pitch - transposition).toBeGreaterThanOrEqual(lowest);
            expect(note.pitch - transposition).toBeLessThanOrEqual(highest);
          }
        },
      ),
      { numRuns: 300 },
    );
    expect(refusals).toBeGreaterThan(0);
    expect(inversions).toBeGreaterThan(0);
  });

  it('says which note leaves the range, on which side, and of what', () => {
    const tune = wholeSpan(line('F3 C4', { instrument: 'clarinet' }));
    const problem = refused(switchback, tune, { variants: ['inversion'] });
    expect(problem.message).toBe(
      'Cannot invert: C4 of onset 2 would become B2, below the range of the clarinet in Bb (E3 to C7)',
    );
    expect(problem.exitStatus).toBe(2);
  });
});

function numbers(steps: readonly OneLine[]): number[][] {
  return steps.map((step) => step.onsets.map((onset) => onset.number));
}
