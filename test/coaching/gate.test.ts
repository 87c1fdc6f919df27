import { describe, expect, it } from 'vitest';
import { closedGate, countTake, isOpen } from '../../src/coaching/gate.ts';
import { restDueBetween } from '../../src/session/rest.ts';
import { restPrompt } from '../../src/wording/rest-prompt.ts';
import { planFor } from '../session/simulate.ts';

describe('the gate', () => {
  it('opens after so many clean takes in a row, three unless told otherwise', async () => {
    const { passes } = await planFor('ropewalk', {});
    const two = countTake(countTake(closedGate(passes), true), true);
    expect(isOpen(two)).toBe(false);
    expect(isOpen(countTake(two, true))).toBe(true);
  });

  it('starts the count anew after a take that was not clean', () => {
    const missed = countTake(countTake(countTake(closedGate(3), true), true), false);
    expect(missed).toEqual({ passes: 3, cleanInARow: 0, missesInARow: 1 });
  });

  it('is passed at once with the chance that independent takes give: p³ for three in a row', () => {
    // Worked in the team's fact sheet: expected takes to the first run of three, (1 - p³) / ((1 - p) p³): p = 0.5 -> 14.
    let state = 12_345;
    const chance = () => {
      state = (state * 48_271) % 2_147_483_647;
      return state / 2_147_483_647;
    };
    let takes = 0;
    const gates = 4000;
    for (let i = 0; i < gates; i++) {
      for (let gate = closedGate(3); !isOpen(gate); takes++) gate = countTake(gate, chance() < 0.5);
    }
    expect(takes / gates).toBeGreaterThan(13.3);
    expect(takes / gates).toBeLessThan(14.7);
  });
});

describe('rest prompts', () => {
  it('come once after 25 and once after 50 minutes of playing', () => {
    const minute = 60_000_000;
    expect(restDueBetween(24 * minute, 25 * minute)).toBe(25);
    expect(restDueBetween(25 * minute, 26 * minute)).toBeUndefined();
    expect(restDueBetween(49 * minute, 51 * minute)).toBe(50);
    expect(restPrompt(50)).toMatch(/see a doctor or physiotherapist/);
  });
});
