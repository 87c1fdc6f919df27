import { describe, expect, it } from 'vitest';
import {
  canPlay,
  choices,
  chosenPlan,
  chosenWork,
  type LastWork,
  moveStart,
  type StartPassage,
  type StartState,
  startPlayers,
  startState,
  withInputs,
} from '../../src/screen/start-choice.ts';
import { drawStart, nextLine } from '../../src/screen/start-screen.ts';
import { plainText } from './emulator.ts';

const INPUTS = ['Breath Controller', 'Stage Keys', 'Pad'];
/** "wide" spans more than the computer keyboard's octave and a half as a whole, and not in its second bar. */
const PASSAGES: readonly StartPassage[] = [
  ...(['wide', 'narrow'] as const).map((name) => ({
    name,
    description: `${name}, keyboard, goal 90`,
    goalBpm: 90,
    bars: [
      { number: 1, range: name === 'wide' ? ([40, 80] as const) : ([60, 72] as const) },
      { number: 2, range: [60, 67] as const },
      { number: 3 },
    ],
  })),
  {
    name: 'long',
    description: 'long, clarinet, goal 60',
    goalBpm: 60,
    bars: Array.from({ length: 30 }, (_, i) => ({ number: i + 1, range: [60, 70] as const })),
  },
];
const DRILLS = ['landings', 'through'].map((name) => ({ name, words: `${name}: what it is.` }));

function begin(
  inputs: readonly string[],
  last: { input?: string; work?: LastWork } = {},
  more: Partial<StartState> = {},
): StartState {
  const players = startPlayers(inputs);
  const usual = { passages: PASSAGES, drills: DRILLS, plans: [], reach: 17 };
  return startState({ players, ...usual, ...more }, last);
}

function moved(state: StartState, ...ways: ('up' | 'down' | 'left' | 'right')[]): StartState {
  return ways.reduce(moveStart, state);
}

describe('the start screen', () => {
  it('goes on with drills in a row, and with one that it does not offer by itself', () => {
    for (const drill of ['landings,through', 'widening']) {
      const state = begin([], { work: { passage: 'narrow', drill } });
      expect(chosenWork(state)).toMatchObject({ passage: 'narrow', drill });
      expect(choices(state, 'drill').at(-1)).toMatch(/ as the last time$/);
    }
    expect(choices(begin([], { work: { passage: 'narrow', drill: 'through' } }), 'drill')).toHaveLength(2);
  });

  it('lets the part of a score be chosen, and shows no such row for a single line', () => {
    const low = [{ number: 1, range: [40, 43] as const }];
    const high = [{ number: 1, range: [76, 79] as const }];
    const trio: StartPassage = {
      ...PASSAGES[1]!,
      name: 'trio',
      bars: [{ number: 1, range: [40, 79] as const }],
      parts: [
        { name: '1 Oboe', part: '1', bars: high },
        { name: '2 Bassoon', part: '2', bars: low },
        { name: 'all, as one player', part: 'all', bars: [{ number: 1, range: [40, 79] as const }] },
      ],
    };
    const size = { columns: 80, rows: 24 };
    const passages = [PASSAGES[1]!, trio];
    const single = begin([], {}, { passages });
    expect(chosenWork(single)).not.toHaveProperty('part');
    expect(plainText(drawStart(single, size)).join('\n')).not.toMatch(/^ *>? *Part /m);
    const first = moved(single, 'right');
    expect(chosenWork(first)).toMatchObject({ passage: 'trio', part: '1' });
    expect(plainText(drawStart(first, size)).join('\n')).toMatch(/^ *Part +1 Oboe/m);
    // Each part alone is within the computer keyboard's reach, all of them are not.
    expect(canPlay(first)).toBe(true);
    const all = moved(first, 'down', 'right', 'right');
    expect(chosenWork(all)).toMatchObject({ part: 'all' });
    expect(canPlay(all)).toBe(false);
    const shown = plainText(drawStart(moved(first, 'down', 'right'), size)).join('\n');
    expect(shown).toMatch(/^ *> Part +2 Bassoon/m);
    // Another passage has other parts; the part of the last time is remembered.
    expect(chosenWork(moved(all, 'up', 'left', 'right'))).toMatchObject({ part: '1' });
    const again = begin([], { work: { passage: 'trio', part: '2' } }, { passages });
    expect(chosenWork(again)).toMatchObject({ passage: 'trio', part: '2' });
  });

  it('lets who plays, passage, bars, tempo and drill be chosen with the arrow keys', () => {
    let now = moved(begin(INPUTS), 'up', 'right', 'right', 'right');
    expect(chosenWork(now)).toMatchObject({ from: 'keys', passage: 'wide', tempo: '60', drill: 'landings' });
    now = moved(now, 'down', 'right', 'down', 'right', 'right', 'down', 'right', 'down', 'right');
    // Slow practice begins at two thirds of the goal; the next choice is three quarters.
    expect(chosenWork(now)).toEqual({
      from: 'keys',
      passage: 'narrow',
      bars: '1-2',
      tempo: '68',
      drill: 'through',
    });
    // Another passage has other bars.
    expect(chosenWork(moved(now, 'up', 'up', 'up', 'left'))).not.toHaveProperty('bars');
    expect(chosenWork(moved(now, 'left', 'left', 'left')).drill).toBe('landings');
  });

  it('begins with the input used last, the keyboard where there is none, and a passage that can be played', () => {
    expect(chosenWork(begin(INPUTS, { input: 'Stage Keys' })).from).toBe('Stage Keys');
    expect(chosenWork(begin(INPUTS, { input: 'gone' })).from).toBe('Breath Controller');
    expect(chosenWork(begin([], { input: 'Stage Keys' }))).toMatchObject({ from: 'keys', passage: 'narrow' });
  });

  it('begins where the last work was', () => {
    const work = { passage: 'long', bars: '4-5', tempo: '46', drill: 'through' };
    expect(chosenWork(begin(INPUTS, { work }))).toEqual({ ...work, from: 'Breath Controller', tempo: '45' });
    expect(chosenWork(begin(INPUTS, { work: { passage: 'gone', bars: '2' } }))).toMatchObject({
      passage: 'wide',
    });
  });

  it('is honest about the computer keyboard: what lies within its keys, and where', () => {
    const keys = moved(begin([]), 'left');
    expect(canPlay(keys)).toBe(false);
    const lines = plainText(drawStart(keys, { columns: 80, rows: 24 })).join('\n');
    expect(lines).toMatch(/wide .*not all on the keys/);
    expect(lines).toMatch(/18 keys, too few for this.*bars 2, 3/s);
    // Bar 2 alone is the fourth choice: all, 1, 1-2, 2.
    expect(canPlay(moved(keys, 'down', 'right', 'right', 'right'))).toBe(true);
    expect(canPlay(moved(keys, 'up', 'right'))).toBe(true);
  });

  it('shows an instrument that is plugged in meanwhile and chooses it; one that goes leaves the others', () => {
    const keys = begin([]);
    const plugged = withInputs(keys, ['Pad']);
    expect(chosenWork(plugged).from).toBe('Pad');
    expect(plainText(drawStart(plugged, { columns: 80, rows: 24 })).join('\n')).not.toContain('plugged in');
    expect(chosenWork(withInputs(plugged, [])).from).toBe('keys');
    const chosen = begin(INPUTS, { input: 'Pad' });
    expect(chosenWork(withInputs(chosen, ['Breath Controller', 'Pad'])).from).toBe('Pad');
    expect(withInputs(chosen, INPUTS)).toBe(chosen);
  });

  describe('with a record', () => {
    const plans = [10, 20].map((minutes) => ({ minutes, lines: [`3 min  wide, landings (${minutes})`] }));

    it('begins with the plan for today, shown under it, and lets it be longer or shorter', () => {
      const state = begin(INPUTS, {}, { plans });
      expect(chosenPlan(state)).toBe(20);
      const text = plainText(drawStart(state, { columns: 80, rows: 24 })).join('\n');
      expect(text).toMatch(/> Today {6}20 minutes/);
      expect(text).toContain('3 min  wide, landings (20)');
      expect(chosenPlan(moved(state, 'left'))).toBe(10);
      expect(chosenPlan(moved(state, 'down'))).toBeUndefined();
      expect(chosenPlan(moved(state, 'down', 'up'))).toBe(20);
    });

    it('does not hold the plan to the keys of what else could be chosen', () => {
      const state = begin([], { work: { passage: 'wide' } }, { plans });
      const words = 'too few for this';
      expect(plainText(drawStart(state, { columns: 80, rows: 24 })).join('\n')).not.toContain(words);
      expect(plainText(drawStart(moved(state, 'down'), { columns: 80, rows: 24 })).join('\n')).toContain(
        words,
      );
    });

    it('says how many lines of a long plan do not fit', () => {
      const lines = Array.from({ length: 30 }, (_, i) => `3 min  slice ${i + 1}`);
      const state = begin(INPUTS, {}, { plans: [{ minutes: 90, lines }] });
      const rows = plainText(drawStart(state, { columns: 80, rows: 24 })).map((row) => row.trim());
      const shown = rows.filter((row) => row.startsWith('3 min')).length;
      expect(rows).toContain(`and ${30 - shown} more`);
    });
  });

  describe('what a passage needs', () => {
    const drills = [{ name: 'what it needs', words: 'Found out.', isCourse: true as const }, ...DRILLS];

    it('is offered first where there is an instrument, for half an hour', () => {
      expect(chosenWork(begin(INPUTS, {}, { drills }))).toEqual({
        from: 'Breath Controller',
        passage: 'wide',
        tempo: '60',
        minutes: '30',
      });
      expect(chosenWork(begin([], {}, { drills }))).toMatchObject({ drill: 'landings' });
      expect(chosenWork(begin([], {}, { drills }))).not.toHaveProperty('minutes');
    });

    it('always has its minutes, and another drill need not have any', () => {
      const state = { ...begin(INPUTS, {}, { drills }), focus: 'time' as const };
      expect(chosenWork(moved(state, 'left')).minutes).toBe('20');
      expect(chosenWork(moved(state, 'left', 'left', 'left')).minutes).toBe('30');
      const other = moved({ ...state, focus: 'drill' }, 'right');
      expect(chosenWork(moved({ ...other, focus: 'time' }, 'left', 'left', 'left'))).not.toHaveProperty(
        'minutes',
      );
    });

    it('is what is begun with where it was the last work', () => {
      const work = { passage: 'long', minutes: '20' };
      expect(chosenWork(begin([], { work }, { drills }))).toMatchObject({ passage: 'long', minutes: '20' });
      expect(chosenWork(begin([], { work }, { drills }))).not.toHaveProperty('drill');
    });
  });

  it('counts bars as the music numbers them', () => {
    const bars = [33, 34].map((number) => ({ number }));
    const state = begin(INPUTS, {}, { passages: [{ name: 'late', description: '', goalBpm: 60, bars }] });
    expect(chosenWork(moved(state, 'down', 'right', 'right')).bars).toBe('33-34');
  });

  it.each([
    [120, 40],
    [80, 24],
    [60, 16],
    [40, 10],
  ])('shows every row with its choice in %i columns and %i rows, and how to leave', (columns, rows) => {
    for (const inputs of [INPUTS, []]) {
      let now = begin(inputs, {}, { silence: 'The click is seen, not heard: no sound device was found.' });
      for (const way of ['up', 'down', 'down', 'down', 'down', 'down'] as const) {
        now = moved(moveStart(now, way), 'right', 'right');
        const lines = plainText(drawStart(now, { columns, rows }));
        const { passage, tempo, drill } = chosenWork(now);
        expect(lines.filter((line) => line.startsWith(' > '))).toHaveLength(1);
        expect(lines.some((line) => line.includes(`Passage    ${passage}`))).toBe(true);
        expect(lines.some((line) => line.includes(`Tempo      ${tempo} a minute`))).toBe(true);
        expect(lines.some((line) => line.includes(`Drill      ${drill}`))).toBe(true);
        expect(lines.at(-1)).toContain('q leave');
        expect(lines).toHaveLength(rows);
      }
    }
  });

  it('says before the first click that nothing will be heard, and why something cannot be begun', () => {
    const silence = 'The click is seen, not heard: no sound device was found.';
    const refusal = 'Cannot make through of onsets 1 to 3: the line is not even.';
    const lines = plainText(drawStart(begin(INPUTS, {}, { silence, refusal }), { columns: 80, rows: 24 }));
    expect(lines.join('\n')).toContain(silence);
    expect(lines.join('\n')).toContain(refusal);
    const next = moveStart(begin(INPUTS, {}, { refusal }), 'down');
    expect(plainText(drawStart(next, { columns: 80, rows: 24 })).join('\n')).not.toContain('Cannot make');
  });

  it('names in a pipe what can be done next, with no instrument too', () => {
    expect(nextLine(begin([]))).toMatch(/--from keys.*--from model/);
    expect(nextLine(begin(['Pad']))).toContain('fettle work NAME,');
    expect(nextLine(begin(INPUTS))).toContain('--from "Breath Controller"');
  });
});
