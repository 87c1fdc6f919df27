// A step among several players: one run, a line for each.

import { describe, expect, it } from 'vitest';
import { dealtOut } from '../../src/drills/dealt-out.ts';
import { landings } from '../../src/drills/landings.ts';
import { type Line, onsetsOfAll, type Step } from '../../src/drills/step.ts';
import { switchback } from '../../src/drills/switchback.ts';
import { tenuto } from '../../src/drills/tenuto.ts';
import type { Passage } from '../../src/music/passage.ts';
import { line } from './line.ts';
import { made } from './made.ts';

const Q = 10_080;

/** A melody in quarters over two half notes: lower parts rest or hold where the upper one moves. */
const duet: Passage = (() => {
  const upper = line('C5 D5 E5 F5 G5', { unitTicks: Q });
  const lower = line('C4 E4 G4', { unitTicks: 2 * Q, instrument: 'clarinet' });
  const onsets = upper.onsets.map(({ tick, notes }) => ({
    tick,
    notes: [
      ...lower.onsets
        .filter((onset) => onset.tick === tick)
        .flatMap((onset) => onset.notes.map((note) => ({ ...note, part: 1 }))),
      ...notes,
    ],
  }));
  const parts = [
    { name: 'oboe', instrument: 'oboe' },
    { name: 'clarinet', instrument: 'clarinet' },
  ] as const;
  return { ...upper, onsets, parts };
})();

const span = { passage: duet, first: 1, last: 5 };

describe('a step dealt out', () => {
  const steps = made(landings, span);
  const dealt = steps.map((step) => dealtOut(step, [{ parts: [0] }, { parts: [1] }], duet));

  it('keeps its run, so that the section stops where the music as a whole has an onset', () => {
    expect(dealt.map(({ run }) => run)).toEqual(steps.map(({ run }) => run));
    expect(dealt.map(({ run }) => run.stopTick)).toEqual([Q, 2 * Q, 3 * Q, 4 * Q]);
  });

  it('gives each player the notes of their parts, with the pitch at which their instrument is written', () => {
    expect(ticks(dealt, 0)).toEqual([
      [0, Q],
      [Q, 2 * Q],
      [2 * Q, 3 * Q],
      [3 * Q, 4 * Q],
    ]);
    expect(ticks(dealt, 1)).toEqual([[0], [2 * Q], [2 * Q], [4 * Q]]);
    for (const step of dealt) {
      expect(step.lines.map(({ transposition }) => transposition)).toEqual([0, -2]);
      for (const { parts, onsets } of step.lines)
        for (const { notes } of onsets) expect(notes.every((note) => parts.includes(note.part))).toBe(true);
    }
  });

  it('gives each onset the length of that player’s own notes', () => {
    const lengths = (part: number) => dealt[0]!.lines[part]!.onsets.map((onset) => onset.durationTicks);
    expect(lengths(0)).toEqual([Q, Q]);
    expect(lengths(1)).toEqual([2 * Q]);
  });

  it('leaves who rests through the run without onsets', () => {
    const [step] = made(landings, { ...span, first: 2, last: 4 }, { every: 1 });
    const [upper, lower] = dealtOut(step!, [{ parts: [0] }, { parts: [1] }], {
      ...duet,
    }).lines;
    expect(upper!.onsets).toHaveLength(2);
    expect(lower!.onsets.map(({ tick }) => tick)).toEqual([2 * Q]);
    const resting = dealtOut(oneOnset(step!), [{ parts: [1] }], duet);
    expect(resting.lines[0]!.onsets).toEqual([]);
  });

  it('is the whole again when its lines are laid together', () => {
    for (const [i, step] of dealt.entries()) expect(onsetsOfAll(step)).toEqual(steps[i]!.onsets);
    const twice = dealtOut(steps[0]!, [{}, {}], duet);
    expect(twice.lines).toHaveLength(2);
    expect(onsetsOfAll(twice)).toBe(steps[0]!.onsets);
    expect(onsetsOfAll(JSON.parse(JSON.stringify(twice)))).toEqual(steps[0]!.onsets);
  });

  it('carries a lean to the interval of each player that it falls into', () => {
    const [leaned] = made(tenuto, span, { snags: [2] });
    const [upper, lower] = dealtOut(leaned!, [{ parts: [0] }, { parts: [1] }], duet).lines;
    expect(upper!.onsets.map(({ leanTicks }) => leanTicks)).toEqual([
      undefined,
      Q / 2,
      undefined,
      undefined,
      undefined,
    ]);
    expect(lower!.onsets.map(({ leanTicks }) => leanTicks)).toEqual([Q / 2, undefined, undefined]);
  });

  it('writes out no line before it is looked at', () => {
    const whole = made(switchback, span)[0]!;
    let written = 0;
    const counted: Line = {
      ...whole.lines[0]!,
      get onsets() {
        written++;
        return whole.onsets;
      },
    };
    const step = dealtOut({ run: whole.run, lines: [counted] }, [{ parts: [0] }, {}], duet);
    expect(written).toBe(0);
    expect(step.lines[0]!.onsets).toHaveLength(3);
    expect(step.lines[0]!.onsets).toBe(step.lines[0]!.onsets);
    expect(written).toBe(1);
  });
});

// Helpers

function ticks(steps: readonly Step[], player: number): number[][] {
  return steps.map((step) => step.lines[player]!.onsets.map((onset) => onset.tick));
}

function oneOnset({ run, lines }: Step): Step {
  return { run, lines: [{ ...lines[0]!, onsets: lines[0]!.onsets.slice(0, 1) }] };
}
