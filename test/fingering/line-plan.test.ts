// The fingerings of the line that one player is given, and the marks under its notes.

import { describe, expect, it } from 'vitest';
import type { Line } from '../../src/drills/step.ts';
import { stepOnsets } from '../../src/drills/step-onset.ts';
import { linePlan } from '../../src/fingering/line-plan.ts';
import { INSTRUMENTS, type InstrumentName } from '../../src/music/instrument.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { fingeringMarksByOnset } from '../../src/wording/fingering.ts';
import { line } from '../drills/line.ts';

function music(text: string, instrument: InstrumentName) {
  const span = wholeSpan(line(text, { instrument }));
  const { transposition } = INSTRUMENTS[instrument];
  const only: Line = { parts: [0], transposition, onsets: stepOnsets(span.passage, span) };
  return { span, only, tempo: span.passage.tempo };
}

describe('the fingerings of a line', () => {
  it('are marked where something needs a decision', () => {
    const { span, only, tempo } = music('A4 B4 D#5 B4', 'clarinet');
    const marks = (plan: ReturnType<typeof linePlan>) => fingeringMarksByOnset(plan!, 4);
    expect(marks(linePlan({ span }, only, tempo))).toEqual(['', 'L', '', 'L']);
    expect(marks(linePlan({ span, keywork: ['left-e-flat'] }, only, tempo))).not.toEqual(['', 'L', '', 'L']);
  });

  it('are not planned without a table, nor for several parts at once', () => {
    const keys = music('A4 B4 D#5 B4', 'keyboard');
    expect(linePlan({ span: keys.span }, keys.only, keys.tempo)).toBeUndefined();
    const two = music('A4 B4 D#5 B4', 'clarinet');
    expect(linePlan({ span: two.span }, { ...two.only, parts: [0, 1] }, two.tempo)).toBeUndefined();
  });
});
