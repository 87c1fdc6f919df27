import { describe, expect, it } from 'vitest';
import type { Run, Step } from '../../src/drills/step.ts';
import { stepsPassage } from '../../src/drills/steps-passage.ts';
import { barTicks } from '../../src/music/meter.ts';
import { spanOnsets, wholeSpan } from '../../src/music/span.ts';
import { madePassage, quarters } from '../notation/made-passage.ts';

const Q = 10_080;
const line = madePassage(quarters(9), { pickupQuarters: 1, fifths: 2 });

/** A step that keeps the beat, from onset `first` to `last`. */
function click(first: number, last: number, more: Partial<Run> = {}): Step {
  const onsets = spanOnsets({ ...wholeSpan(line), first, last });
  const run: Run = {
    name: `onsets ${first} to ${last}`,
    tempo: line.tempo,
    pulse: 'click',
    startTick: onsets[0]!.tick,
    stopTick: onsets.at(-1)!.tick,
    landing: true,
    joinsNext: false,
    leadInBeats: 4,
    holdBeats: 2,
    endTick: onsets.at(-1)!.tick + 2 * Q,
    clicks: [],
    beats: [],
    ...more,
  };
  const written = onsets.map(({ tick, notes }, i) => ({
    tick,
    notes,
    durationTicks: notes[0]!.durationTicks,
    number: first + i,
  }));
  return { run, lines: [{ parts: [0], transposition: 0, onsets: written }] };
}

describe('steps laid end to end', () => {
  it('begin each in a bar of its own, at their own place in it', () => {
    const printed = stepsPassage([click(3, 4), click(4, 5), click(1, 2)], line);
    // Onset 3 is beat 2 of bar 1, onset 4 beat 3, onset 1 the pickup on beat 4; a landing is held two beats.
    expect(printed.onsets.map((o) => [o.tick / Q, o.notes[0]!.pitch, o.notes[0]!.durationTicks / Q])).toEqual(
      [
        [1, 62, 1],
        [2, 63, 2],
        [6, 63, 1],
        [7, 64, 2],
        [15, 60, 1],
        [16, 61, 2],
      ],
    );
    expect(printed.rehearsalMarks).toEqual([
      { tick: 0, text: 'onsets 3 to 4' },
      { tick: 4 * Q, text: 'onsets 4 to 5' },
      { tick: 12 * Q, text: 'onsets 1 to 2' },
    ]);
  });

  it('have whole bars that follow one another, numbered from 1', () => {
    const steps = [click(1, 3), click(2, 9), click(8, 9), click(3, 4)];
    const printed = stepsPassage(steps, line);
    let at = 0;
    printed.bars.forEach((bar, i) => {
      expect(bar).toMatchObject({
        number: i + 1,
        startTick: at,
        durationTicks: barTicks(bar.meter),
        pickup: false,
      });
      at += bar.durationTicks;
    });
    expect(printed.endTick).toBe(at);
    for (const { tick, notes } of printed.onsets) {
      expect(tick + notes[0]!.durationTicks).toBeLessThanOrEqual(printed.endTick);
    }
    expect(printed.onsets).toHaveLength(3 + 8 + 2 + 2);
    expect(printed.parts).toEqual(line.parts);
    expect(printed.keys).toEqual([{ tick: 0, fifths: 2, mode: 'major' }]);
  });

  it('bring changes of meter along', () => {
    const changing = madePassage(quarters(10), {
      meters: [
        { count: 3, unit: 4 },
        { count: 2, unit: 4 },
        { count: 3, unit: 4 },
      ],
    });
    const onsets = changing.onsets
      .slice(1, 7)
      .map(({ tick, notes }, i) => ({ tick, notes, durationTicks: Q, number: 2 + i }));
    const { run, lines } = click(1, 2, { startTick: Q, stopTick: 6 * Q });
    const step = { run, lines: [{ ...lines[0]!, onsets }] };
    const printed = stepsPassage([step, step], changing);
    expect(printed.bars.map((b) => b.meter.count)).toEqual([3, 2, 3, 3, 2, 3]);
    expect(printed.onsets.map((o) => o.tick / Q)).toEqual([1, 2, 3, 4, 5, 6, 9, 10, 11, 12, 13, 14]);
  });

  it('of free steps begin with their first note', () => {
    const free = click(2, 4, {
      pulse: 'free',
      landing: false,
      startTick: 0,
      stopTick: 2 * 5040,
      holdBeats: 1,
    });
    const onsets = free.lines[0]!.onsets.map((o, i) => ({
      ...o,
      tick: i * 5040,
      notes: o.notes.map((n) => ({ ...n, durationTicks: 5040 })),
    }));
    const lines = [{ ...free.lines[0]!, onsets }];
    const printed = stepsPassage(
      [
        { ...free, lines },
        { ...free, lines },
      ],
      line,
    );
    expect(printed.onsets.map((o) => o.tick)).toEqual([0, 5040, 10_080, 40_320, 45_360, 50_400]);
    expect(printed.bars).toHaveLength(2);
  });

  it('say a new tempo where it changes', () => {
    const faster = click(3, 4, { tempo: { bpm: 72, beatTicks: Q } });
    const printed = stepsPassage([click(3, 4), faster, faster, click(3, 4)], line);
    expect(printed.tempo.bpm).toBe(60);
    expect(printed.tempoChanges.map((c) => [c.tick / Q, c.tempo.bpm])).toEqual([
      [4, 72],
      [12, 60],
    ]);
  });

  it('of nothing are a passage without onsets', () => {
    expect(stepsPassage([], line).onsets).toEqual([]);
  });
});
