import { describe, expect, it } from 'vitest';
import { finishedWords } from '../../src/wording/plain-lines.ts';

describe('what came of a session', () => {
  const left = {
    kind: 'finished',
    stepsPassed: 0,
    stepsSkipped: 0,
    steps: 4,
    takes: 0,
    cleanTakes: 0,
  } as const;

  it('counts the takes, and none where it was left at once', () => {
    expect(finishedWords({ ...left, takes: 1 })).toBe('done: 0 of 4 steps passed; 0 of 1 take clean');
    expect(finishedWords(left)).toBe('done: 0 of 4 steps passed; no take played');
    expect(finishedWords({ ...left, survey: true })).toBe('done: no run-through played');
  });
});
