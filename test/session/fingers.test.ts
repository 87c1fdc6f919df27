// What a session knows of the fingers: marks for the contour, and the finger that was late.

import { describe, expect, it } from 'vitest';
import type { Line } from '../../src/drills/step.ts';
import { stepOnsets } from '../../src/drills/step-onset.ts';
import { INSTRUMENTS, type InstrumentName } from '../../src/music/instrument.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { fingersOf, lateFingerBefore } from '../../src/session/fingers.ts';
import { line } from '../drills/line.ts';

function music(text: string, instrument: InstrumentName) {
  const span = wholeSpan(line(text, { instrument }));
  const { transposition } = INSTRUMENTS[instrument];
  const only: Line = { parts: [0], transposition, onsets: stepOnsets(span.passage, span) };
  return { span, only, tempo: span.passage.tempo };
}

describe('the fingers of a session', () => {
  it('are marked where something needs a decision', () => {
    const { span, only, tempo } = music('A4 B4 D#5 B4', 'clarinet');
    expect(fingersOf({ span }, only, tempo)).toEqual(['', 'L', '', 'L']);
    expect(fingersOf({ span, keywork: ['left-e-flat'] }, only, tempo)).not.toEqual(['', 'L', '', 'L']);
  });

  it('are not marked without a table, nor for several parts at once', () => {
    const keys = music('A4 B4 D#5 B4', 'keyboard');
    expect(fingersOf({ span: keys.span }, keys.only, keys.tempo)).toEqual([]);
    const two = music('A4 B4 D#5 B4', 'clarinet');
    expect(fingersOf({ span: two.span }, { ...two.only, parts: [0, 1] }, two.tempo)).toEqual([]);
  });

  it('tell on written pitch who was late in a blip, and nothing where no finger explains it', () => {
    const { span, only, tempo } = music('C4 E4', 'clarinet');
    const late = lateFingerBefore({ span }, only, tempo);
    // D4 as written is C4 as it sounds.
    expect(late(1, 60)).toBe('the left middle finger was late');
    expect(late(1, 62)).toBeUndefined();
    expect(late(1, 75)).toBeUndefined();
    expect(late(0, 60)).toBeUndefined();
  });
});
