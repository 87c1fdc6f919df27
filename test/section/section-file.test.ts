// The section file: what it may hold, and one clear sentence for what it may not.

import { describe, expect, it } from 'vitest';
import { keysText, readSectionFile, sharedSeat } from '../../src/section/section-file.ts';

const read = (players: unknown, more: object = {}) =>
  readSectionFile(JSON.stringify({ ...more, players }), 'band.json');

const trouble = (players: unknown, more: object = {}): [string, string] => {
  const result = read(players, more);
  if (result.ok) throw new Error('was read');
  return [result.problem.code, result.problem.message];
};

describe('a section file', () => {
  it('is read with everything that it may say', () => {
    const result = read(
      [
        {
          name: ' Oboe ',
          from: 'winds',
          channel: 3,
          part: 'Oboe',
          instrument: 'oboe',
          tolerance: 'concert',
          shift: -12,
        },
        { name: 'Left', from: 'Keys', keys: 'C2-B3', part: 2 },
        { name: 'Right', from: 'keys', keys: 'C4 - C8' },
        { name: 'One', from: 'model' },
        { name: 'Two', from: 'model' },
      ],
      { section: 'Reeds' },
    );
    expect(result).toMatchObject({
      ok: true,
      value: {
        section: 'Reeds',
        players: [
          { name: 'Oboe', channel: 3, instrument: 'oboe', tolerance: 'concert', shift: -12 },
          { keys: { lowest: 36, highest: 59 } },
          { keys: { lowest: 60, highest: 108 } },
          {},
          {},
        ],
      },
    });
    if (result.ok) expect(keysText(result.value.players[1]!.keys!)).toBe('C2-B3');
  });

  it.each([
    [
      'two players on one input',
      [
        { name: 'A', from: 'x' },
        { name: 'B', from: 'X' },
      ],
      'both play on "x"',
    ],
    [
      'two on one channel, one of them on all',
      [
        { name: 'A', from: 'x', channel: 2 },
        { name: 'B', from: 'x' },
      ],
      'both play on "x", channel 2',
    ],
    [
      'keys that overlap by one',
      [
        { name: 'A', from: 'x', keys: 'C2-C4' },
        { name: 'B', from: 'x', keys: 'C4-C5' },
      ],
      'their keys C2-C4 and C4-C5 overlap',
    ],
  ])('cannot tell apart %s', (_, players, words) => {
    const [code, message] = trouble(players);
    expect(code).toBe('section.shared');
    expect(message).toContain('Cannot tell "A" and "B" apart');
    expect(message).toContain(words);
  });

  it('seats two on one input by channel, or by keys', () => {
    expect(
      read([
        { name: 'A', from: 'x', channel: 1 },
        { name: 'B', from: 'x', channel: 2 },
      ]).ok,
    ).toBe(true);
    expect(
      read([
        { name: 'A', from: 'x', keys: 'C2-B3' },
        { name: 'B', from: 'x', keys: 'C4-C5' },
      ]).ok,
    ).toBe(true);
  });

  it('finds two who share an input once its name is known', () => {
    const players = [
      { name: 'A', port: 'Keys 1' },
      { name: 'B', port: 'Keys 1' },
    ];
    expect(sharedSeat(players, ({ port }) => port)?.message).toContain('both play on "Keys 1"');
    expect(sharedSeat(players, () => undefined)).toBeUndefined();
  });

  it.each([
    [
      'a name twice, in other capitals',
      [
        { name: 'Oboe', from: 'a' },
        { name: 'oboe', from: 'b' },
      ],
      'two players are called "oboe"',
    ],
    ['no players', [], 'at least one player is needed'],
    ['seventeen', Array.from({ length: 17 }, (_, i) => ({ name: `P${i}`, from: 'model' })), 'at most 16'],
    ['a player without an input', [{ name: 'Oboe' }], 'player "Oboe", "from": it is missing'],
    [
      'a field that is not known',
      [{ name: 'Oboe', from: 'a', chanel: 1 }],
      'player "Oboe", "chanel": there is no such field; did you mean "channel"?',
    ],
    ['a channel of 17', [{ name: 'Oboe', from: 'a', channel: 17 }], 'a whole number from 1 to 16'],
    ['a channel as text', [{ name: 'Oboe', from: 'a', channel: '1' }], 'a whole number from 1 to 16'],
    ['keys the wrong way round', [{ name: 'Oboe', from: 'a', keys: 'B3-C2' }], 'such as "C2-B3"'],
    [
      'an instrument that is misspelt',
      [{ name: 'Oboe', from: 'a', instrument: 'obo' }],
      'did you mean "oboe"?',
    ],
    [
      'a tolerance that is not known',
      [{ name: 'Oboe', from: 'a', tolerance: 'loose' }],
      'rough, steady or concert',
    ],
    ['a number for a player', [7], 'player 1: name and from in braces are needed'],
    [
      'a name that breaks the line',
      [{ name: 'Ob\noe', from: 'a' }],
      'player 1, "name": 1 to 40 characters on one line',
    ],
    ['a number for a name', [{ name: 5, from: 'a' }], 'player 1, "name": a name in quotes is needed'],
    ['nothing for an input', [{ name: 'A', from: null }], 'player "A", "from": an input, FILE.mid or model'],
  ])('says what is wrong with %s', (_, players, words) => {
    expect(trouble(players)[1]).toContain(words);
  });

  // Lines and columns counted by hand.
  it.each([
    ['name: Oboe', "line 1, column 2: Unexpected token 'a'"],
    ['', 'line 1, column 1: it breaks off'],
    [
      '{\n  "players": [\n    { "name": "A", "from": "model" },\n  ]\n}',
      "line 4, column 3: Unexpected token ']'",
    ],
    ['{\n  "players": [\n    { "name": "A" "from": "model" }\n  ]\n}', 'line 3, column 19: Expected'],
    ['{ "players": [] } x', 'line 1, column 19: Unexpected non-whitespace character after the end'],
    ['{ "players": [', 'line 1, column 15: it breaks off'],
  ])('says where a file is not JSON: %j', (text, words) => {
    const result = readSectionFile(text, 'band.json');
    expect(result).toMatchObject({ ok: false, problem: { code: 'section.json', exitStatus: 3 } });
    if (!result.ok) expect(result.problem.message).toContain(`it is not JSON: ${words}`);
  });

  it.each(['null', '"x"', '7'])('says that %s is no section', (text) => {
    const result = readSectionFile(text, 'band.json');
    if (!result.ok) expect(result.problem.message).toContain('an object with "players" is needed');
    expect(result.ok).toBe(false);
  });
});
