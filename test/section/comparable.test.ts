// Which takes of stations are of the same music at the same tempo.

import { expect, it } from 'vitest';
import { comparable, type StepPlayed } from '../../src/section/comparable.ts';

it('puts takes of one step together, that of the latest take last, and names those of nobody else', () => {
  const takes = [
    take('A', 'two', 2, 3, { date: '3' }),
    take('A', 'one', 1, 2, { date: '1' }),
    take('B', 'two', 2, 3, { date: '2' }),
    take('B', 'one', 1, 2, { date: '2' }),
    take('B', 'six', 6, 7),
    take('C', 'one', 1, 2, { tempoBpm: 90 }),
  ];
  expect(told(takes)).toEqual({
    shared: ['one: A one, B one', 'two: A two, B two'],
    alone: ['B six', 'C one'],
  });
});

it('compares a short run with the shortest one that has all of it', () => {
  const takes = [
    take('A', 'one', 1, 2),
    take('A', 'two', 2, 3),
    take('B', 'one and two', 1, 3),
    take('B', 'all', 0, 9, { drill: 'through' }),
    take('A', 'half out', 8, 11),
  ];
  expect(told(takes)).toEqual({
    shared: ['one: A one, B one and two', 'two: A two, B one and two'],
    alone: ['B all', 'A half out'],
  });
});

it('a step is the same for a part that rests where it begins', () => {
  const takes = [
    take('A', 'all', 0, 9, { drill: 'through' }),
    take('B', 'all', 4, 6, { drill: 'through' }),
    take('C', 'begins', 0, 3),
  ];
  expect(told(takes)).toEqual({
    shared: ['all: A all, B all', 'begins: A all, C begins'],
    alone: [],
  });
});

it('one onset in common is nothing to compare', () => {
  const takes = [take('A', 'one', 1, 2), take('B', 'one and two', 1, 3, { ticks: [1, 3] })];
  expect(told(takes)).toEqual({ shared: [], alone: ['A one', 'B one and two'] });
});

// Helpers

function take(
  player: string,
  stepName: string,
  fromTick: number,
  toTick: number,
  more: Partial<StepPlayed> = {},
): StepPlayed {
  const ticks = Array.from({ length: toTick - fromTick + 1 }, (_, i) => fromTick + i);
  return { player, stepName, ticks, drill: 'landings', tempoBpm: 72, date: '1', ...more };
}

function told(takes: readonly StepPlayed[]) {
  const name = ({ player, stepName }: StepPlayed) => `${player} ${stepName}`;
  const { shared, alone } = comparable(takes);
  return {
    shared: shared.map((one) => `${one.stepName}: ${one.takes.map(name).join(', ')}`),
    alone: alone.map(name),
  };
}
