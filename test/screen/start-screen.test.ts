import { describe, expect, it } from 'vitest';
import {
  drawStart,
  movePassage,
  movePlayer,
  nextLine,
  type StartState,
  startPlayers,
} from '../../src/screen/start-screen.ts';
import { plainText } from './emulator.ts';

const INPUTS = ['Breath Controller', 'Stage Keys', 'Pad'];
const passages = ['crosstide', 'fogbell', 'lanterns', 'mudlarks', 'ropewalk', 'slipway'].map((name) => ({
  name,
  description: `${name}, keyboard, goal 66`,
}));
const state = (inputs: readonly string[], last?: string): StartState => ({
  ...startPlayers(inputs, last),
  passages,
  chosen: 0,
});
const playerOf = ({ players, player }: StartState) => players[player]!.from;

describe('the start screen', () => {
  it('lets the player choose one of several inputs, the keyboard or a simulated player', () => {
    let now = state(INPUTS);
    expect(playerOf(now)).toBe('Breath Controller');
    const passed = [playerOf(now)];
    for (let i = 0; i < 6; i++) {
      now = movePlayer(now, 1);
      passed.push(playerOf(now));
    }
    expect(passed.slice(0, 5)).toEqual([...INPUTS, 'keys', 'model']);
    expect(passed.at(-1)).toBe('model');
    expect(playerOf(movePlayer(state(INPUTS), -1))).toBe('Breath Controller');
    expect(movePassage(now, 2)).toMatchObject({ chosen: 2, player: now.player });
  });

  it('begins with the input used last, and with the simulated player where nothing is plugged in', () => {
    expect(playerOf(state(INPUTS, 'Stage Keys'))).toBe('Stage Keys');
    expect(playerOf(state(INPUTS, 'gone'))).toBe('Breath Controller');
    expect(playerOf(state([], 'Stage Keys'))).toBe('model');
  });

  it.each([
    [80, 24],
    [60, 16],
    [40, 10],
  ])('shows the chosen player and passage in %i columns and %i rows, and how to leave', (columns, rows) => {
    for (const inputs of [INPUTS, []]) {
      for (let i = 0; i < passages.length; i++) {
        let now = movePassage(state(inputs), i);
        now = movePlayer(now, i);
        const lines = plainText(drawStart(now, { columns, rows }));
        const chosen = lines.filter((line) => line.startsWith(' > ')).map((line) => line.slice(3).trim());
        expect(chosen).toHaveLength(2);
        expect(chosen[0]).toBe(now.players[now.player]!.name);
        expect(chosen[1]).toMatch(new RegExp(`^${passages[i]!.name} `));
        expect(lines.at(-1)).toContain('q leave');
        expect(lines).toHaveLength(rows);
      }
    }
  });

  it('names in a pipe what can be done next, with no instrument too', () => {
    expect(nextLine(state([]))).toMatch(/--from keys.*--from model/);
    expect(nextLine(state(['Pad']))).toContain('fettle work NAME,');
    expect(nextLine(state(INPUTS))).toContain('--from "Breath Controller"');
  });
});
