import { describe, expect, it } from 'vitest';
import { landings } from '../../src/drills/landings.ts';
import { stepsJson } from '../../src/drills/steps-json.ts';
import { switchback } from '../../src/drills/switchback.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { line } from './line.ts';
import { made } from './made.ts';

const tune = wholeSpan(line('C4 D4 ~D4+E4+G4*2 F4', { instrument: 'clarinet' }));

describe('steps as JSON', () => {
  it('has the documented fields and no others, pitches sounding, lowest first, grace notes left out', () => {
    expect(stepsJson('tidewrack-line', 'landings', made(landings, tune).slice(0, 1))).toEqual({
      format: 1,
      passage: 'tidewrack-line',
      drill: 'landings',
      steps: [
        {
          name: 'bar 1, beats 1 to 2',
          tempoBpm: 72,
          leadInBeats: 4,
          holdBeats: 2,
          onsets: [
            { tick: 0, durationTicks: 5040, pitches: [58] },
            { tick: 5040, durationTicks: 5040, pitches: [60] },
            { tick: 10_080, durationTicks: 10_080, pitches: [62, 65] },
          ],
        },
      ],
    });
  });

  it('counts the ticks of free steps from their own start', () => {
    const { steps } = stepsJson('tidewrack-line', 'switchback', made(switchback, { ...tune, first: 2 }));
    expect(steps[0]!.onsets.map((onset) => onset.tick)).toEqual([0, 5040, 10_080]);
  });

  it('is the same after a trip through text', () => {
    const json = stepsJson('tidewrack-line', 'switchback', made(switchback, tune));
    expect(JSON.parse(JSON.stringify(json))).toEqual(json);
  });

  it('names a key once where two voices meet on it', () => {
    const doubled = {
      ...tune.passage,
      onsets: tune.passage.onsets.map((onset) => ({ ...onset, notes: [...onset.notes, ...onset.notes] })),
    };
    const { steps } = stepsJson('x', 'landings', made(landings, wholeSpan(doubled)));
    expect(steps[0]!.onsets[0]!.pitches).toEqual([58]);
  });
});
