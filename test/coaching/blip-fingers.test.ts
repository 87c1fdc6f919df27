// The finger that was late in a blip.

import { describe, expect, it } from 'vitest';
import { blipFingers } from '../../src/coaching/blip-fingers.ts';
import type { Line } from '../../src/drills/step.ts';
import { stepOnsets } from '../../src/drills/step-onset.ts';
import { INSTRUMENTS } from '../../src/music/instrument.ts';
import { wholeSpan } from '../../src/music/span.ts';
import type { Trouble } from '../../src/take/verdict.ts';
import { line } from '../drills/line.ts';

const span = wholeSpan(line('C4 E4', { instrument: 'clarinet' }));
const ONLY: Line = {
  parts: [0],
  transposition: INSTRUMENTS.clarinet.transposition,
  onsets: stepOnsets(span.passage, span),
};

function blip(before: number, playedPitch: number): Trouble {
  const times = { leftMicros: 0, onMicros: 230_000, lastedMicros: 20_000, rightMicros: 250_000 };
  return { kind: 'blip', before, played: 1, playedPitch, ...times };
}

describe('the fingers in a blip', () => {
  const late = (trouble: Trouble) => blipFingers(trouble, { span }, ONLY, span.passage.tempo);

  it('are told on written pitch, and not where none explains it', () => {
    // D4 as written is C4 as it sounds.
    expect(late(blip(1, 60))).toEqual({ way: 'late', digits: ['left middle finger'] });
    expect(late(blip(1, 62))).toBeUndefined();
    expect(late(blip(1, 75))).toBeUndefined();
    expect(late(blip(0, 60))).toBeUndefined();
  });

  it('explain no other trouble', () => {
    expect(late({ kind: 'extra', before: 1, played: 1, playedPitch: 60 })).toBeUndefined();
  });
});
