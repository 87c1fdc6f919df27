// A section file by asking each player to play a note, and the lag of all of them at once.

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadPassage } from '../../src/commands/passage-argument.ts';
import type { Questions } from '../../src/commands/questions.ts';
import { askPlayers } from '../../src/commands/section-new.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import type { PlayerSource } from '../../src/ports/player-source.ts';
import { readSectionFile } from '../../src/section/section-file.ts';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const FOLDER = ownFolder();

type Turn = {
  readonly say?: string;
  readonly play?: readonly [input: string, channel: number, pitch: number];
};

describe('a section file that is asked for', () => {
  it('has each on the input, and where it is shared the channel or the keys, on which their note came', async () => {
    const { players } = await asked([
      { say: 'Oboe' },
      { play: ['Winds', 1, 72] },
      { say: 'Left' },
      { play: ['Keys', 1, 43] },
      { say: 'Right' },
      { play: ['Keys', 1, 74] },
      { say: 'Pad' },
      { play: ['Keys', 10, 50] },
      { say: '' },
    ]);
    expect(players).toEqual([
      { name: 'Oboe', from: 'Winds' },
      { name: 'Left', from: 'Keys', channel: 1, keys: 'C-1-A#3' },
      { name: 'Right', from: 'Keys', channel: 1, keys: 'B3-G9' },
      { name: 'Pad', from: 'Keys', channel: 10 },
    ]);
    expect(readSectionFile(JSON.stringify({ players }), 'x').ok).toBe(true);
  });

  it('asks again who plays where another sits, and for a name that is there', async () => {
    const { players, told } = await asked([
      { say: 'Oboe' },
      { play: ['Winds', 1, 72] },
      { say: 'oboe' },
      { say: 'Flute' },
      { play: ['Winds', 1, 74] },
      { say: 'Flute' },
      { play: ['Winds', 2, 74] },
      { say: '' },
    ]);
    expect(players.map(({ name, channel }) => [name, channel])).toEqual([
      ['Oboe', 1],
      ['Flute', 2],
    ]);
    expect(told.join('\n')).toMatch(/There is a "oboe" already[\s\S]*is where Oboe sits/);
  });

  it('asks for the part where a passage is given, by name or number', async () => {
    const passage = await loadPassage('slackwater', { part: 'all' });
    const { players } = await asked(
      [
        { say: 'A' },
        { play: ['Winds', 1, 72] },
        { say: 'Horn' },
        { say: '2' },
        { say: 'B' },
        { play: ['Keys', 1, 72] },
        { say: '' },
        { say: '' },
      ],
      passage,
    );
    expect(players).toEqual([
      { name: 'A', from: 'Winds', part: 'Clarinet' },
      { name: 'B', from: 'Keys' },
    ]);
  });
});

describe('fettle section calibrate', () => {
  it('finds the lag of each, and fettle section takes it off: what is left is the players’ own', async () => {
    const record = join(FOLDER, 'calibrated.db');
    const file = join(FOLDER, 'two.json');
    const from = (ms: number, seed: number) => `model:exact,offset=${ms},sd=4,seed=${seed}`;
    writeFileSync(
      file,
      JSON.stringify({
        players: [
          { name: 'Near', from: from(2, 1), part: 1 },
          { name: 'Far', from: from(60, 2), part: 1 },
        ],
      }),
    );
    const work = [
      'section',
      file,
      'slackwater',
      '--bars',
      '1',
      '--drill',
      'through',
      '--passes',
      '1',
      '--fast',
      '--json',
    ];
    const before = JSON.parse((await fettle([...work, '--record', record])).out);
    expect(before.players[1]).toMatchObject({ calibrated: false });
    expect(before.players[1].leadMs).toBeGreaterThan(50);
    const { out } = await fettle(['section', 'calibrate', file, '--record', record, '--fast']);
    expect(out).toMatch(/Near: Your notes arrive/);
    expect(out).toMatch(/Far: Your notes arrive (5\d|6\d) ms after the click/);
    expect(out).toMatch(/Far: notes arrive .* playing together cannot be judged/);
    expect(out).toMatch(/Kept for 2 of 2/);
    const after = JSON.parse((await fettle([...work, '--record', record, '--afresh'])).out);
    expect(after.players[1]).toMatchObject({ calibrated: true });
    expect(Math.abs(after.players[1].leadMs)).toBeLessThan(6);
  });

  it('keeps nothing of simulated players unless a record is named', async () => {
    expect((await fettle('section calibrate reeds --fast')).out).toMatch(/Nothing is kept/);
  });
});

// Helpers

/** The conversation, told turn by turn: what a person types, and what somebody plays when asked to. */
async function asked(turns: readonly Turn[], passage?: Parameters<typeof askPlayers>[2]) {
  const told: string[] = [];
  const reports = new Map<string, (event: PlayerEvent) => void>();
  const inputs = ['Winds', 'Keys'].map(
    (name): PlayerSource => ({
      name,
      start: (report) => void reports.set(name, report),
      prompt() {},
      hush() {},
      async close() {},
    }),
  );
  const left = [...turns];
  const questions: Questions = {
    tell(line) {
      told.push(line);
      if (!/play one note/.test(line)) return;
      const { play } = left.shift()!;
      const [name, channel, pitch] = play!;
      // After whoever asks has begun to listen.
      queueMicrotask(() => reports.get(name)!({ type: 'note-on', at: 0, pitch, velocity: 80, channel }));
    },
    mark() {},
    ask: async () => left.shift()?.say,
    onEnter: () => () => {},
    close() {},
  };
  const players = await askPlayers(questions, inputs, passage);
  expect(left).toEqual([]);
  return { players, told };
}
