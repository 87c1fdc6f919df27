import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { tenuto } from '../../src/drills/tenuto.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { arbitrarySnag } from './arbitrary-passage.ts';
import { line } from './line.ts';
import { made, refused } from './made.ts';

describe('tenuto', () => {
  it('stretches the note before the snag by half, a quarter, a tenth, and not at all', () => {
    const steps = made(tenuto, wholeSpan(line('C4 D4 E4 F4')), { snags: [2] });
    expect(steps.map((step) => step.onsets.map((onset) => onset.tick))).toEqual([
      [0, 5040, 12_600, 17_640],
      [0, 5040, 11_340, 16_380],
      [0, 5040, 10_584, 15_624],
      [0, 5040, 10_080, 15_120],
    ]);
    expect(steps.map((step) => step.onsets.map((onset) => onset.leanTicks))).toEqual([
      [undefined, 2520, undefined, undefined],
      [undefined, 1260, undefined, undefined],
      [undefined, 504, undefined, undefined],
      [undefined, undefined, undefined, undefined],
    ]);
    expect(steps.map((step) => step.name)).toEqual([
      'lean by half',
      'lean by a quarter',
      'lean by a tenth',
      'no lean',
    ]);
  });

  it('is free: no click could wait for the lean', () => {
    const [step] = made(tenuto, { passage: line('C4 D4 E4 F4'), first: 2, last: 4 }, { snags: [3] });
    expect(step).toMatchObject({ pulse: 'free', startTick: 0, clicks: [], leadInBeats: 0, stopTick: 12_600 });
  });

  it('has a boundary to stop at, also within one long beat', () => {
    const halves = line('C4 D4 E4 F4', { meter: { count: 2, unit: 2 } });
    const tune = { ...halves, tempo: { bpm: 144, beatTicks: 5040 } };
    for (const step of made(tenuto, { passage: tune, first: 1, last: 2 }, { snags: [1] })) {
      expect(step.beats.some((beat) => beat > step.startTick)).toBe(true);
    }
  });

  it('makes what sounds across the snag longer too', () => {
    // The low D lasts through the snag; the middle notes are as written.
    const tune = line('C4 D4 E4 F4');
    const held = {
      ...tune,
      onsets: tune.onsets.map((onset, i) =>
        i === 0 ? { ...onset, notes: [{ ...onset.notes[0]!, durationTicks: 15_120 }] } : onset,
      ),
    };
    const [step] = made(tenuto, wholeSpan(held), { snags: [2] });
    expect(step!.onsets.map((onset) => onset.durationTicks)).toEqual([17_640, 7560, 5040, 5040]);
  });

  it('stretches nothing but the snag, and everything after comes later by that much', () => {
    fc.assert(
      fc.property(arbitrarySnag(), ({ span, snag }) => {
        const written = span.passage.onsets.slice(span.first - 1, span.last).map((onset) => onset.tick);
        made(tenuto, span, { snags: [snag] }).forEach((step, k) => {
          const interval = written[snag + 1 - span.first]! - written[snag - span.first]!;
          const lean = Math.round(interval * [0.5, 0.25, 0.1, 0][k]!);
          step.onsets.forEach((onset, i) => {
            const later = onset.number > snag ? lean : 0;
            expect(onset.tick).toBe(written[i]! - written[0]! + later);
          });
        });
      }),
    );
  });

  it('refuses without a snag', () => {
    expect(refused(tenuto, wholeSpan(line('C4 D4'))).code).toBe('drill.snag-missing');
    expect(refused(tenuto, wholeSpan(line('C4 D4')), { snags: [2] }).code).toBe('drill.snag-outside');
  });
});
