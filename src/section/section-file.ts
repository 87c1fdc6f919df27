// The section file: who plays, on which input, which part. JSON, written by hand or by `fettle section new`:
// { "section": "Reeds", "players": [ { "name", "from", "channel"?, "keys"?, "part"?, "instrument"?, "tolerance"?, "shift"? } ] }

import * as v from 'valibot';
import { INSTRUMENT_NAMES, type InstrumentName, isInstrumentName } from '../music/instrument.ts';
import { nearWord } from '../music/near-word.ts';
import { readSpelling, spellingName, spellingToPitch, spellPitch } from '../music/pitch.ts';
import { type KeyRange, type Seat, shareNotes } from '../music/seat.ts';
import { EXIT, fail, ok, type Problem, type Result } from '../problem.ts';
import { TOLERANCES, type ToleranceName } from '../take/tolerance.ts';
import { jsonTrouble } from './json-trouble.ts';

export const MOST_PLAYERS = 16;

export interface SectionPlayer extends Seat {
  readonly name: string;
  /** As --from has it: a part of a MIDI input's name, FILE.mid, model:... */
  readonly from: string;
  /** Name or number (from 1); without one everything is theirs. */
  readonly part?: string | number;
  /** What they read; what sounds stays. */
  readonly instrument?: InstrumentName;
  readonly tolerance?: ToleranceName;
  /** Semitones to add to what they send, as --shift has it. */
  readonly shift?: number;
}

export interface SectionFile {
  readonly section: string;
  readonly players: readonly SectionPlayer[];
}

const line = v.pipe(
  v.string('a name in quotes is needed'),
  v.trim(),
  v.regex(/^[^\p{C}]{1,40}$/u, '1 to 40 characters on one line are needed'),
);
const whole = (least: number, most: number) =>
  v.pipe(
    v.number(`a whole number from ${least} to ${most} is needed`),
    v.check(
      (value) => Number.isInteger(value) && value >= least && value <= most,
      `a whole number from ${least} to ${most} is needed`,
    ),
  );

const player = v.strictObject({
  name: line,
  from: v.pipe(
    v.string('an input, FILE.mid or model is needed'),
    v.trim(),
    v.nonEmpty('an input, FILE.mid or model is needed'),
  ),
  channel: v.exactOptional(whole(1, 16)),
  keys: v.exactOptional(
    v.pipe(
      v.string('a range of keys is needed, such as "C2-B3"'),
      v.check((text) => readKeys(text) !== undefined, 'a range of keys is needed, such as "C2-B3"'),
      v.transform((text) => readKeys(text)!),
    ),
  ),
  part: v.exactOptional(v.union([line, whole(1, 999)], 'the name or the number of a part is needed')),
  instrument: v.exactOptional(
    v.pipe(
      v.string('the name of an instrument is needed'),
      v.rawTransform(({ dataset: { value }, addIssue, NEVER }): InstrumentName => {
        if (isInstrumentName(value)) return value;
        const near = nearWord(value, INSTRUMENT_NAMES);
        addIssue({ message: near ? `did you mean "${near}"?` : `known are ${INSTRUMENT_NAMES.join(', ')}` });
        return NEVER;
      }),
    ),
  ),
  tolerance: v.exactOptional(
    v.picklist(Object.keys(TOLERANCES) as ToleranceName[], 'rough, steady or concert is needed'),
  ),
  shift: v.exactOptional(whole(-48, 48)),
});

const sectionFile = v.strictObject({
  section: v.exactOptional(line, 'section'),
  players: v.pipe(
    v.array(player, 'a list of players is needed'),
    v.minLength(1, 'at least one player is needed'),
    v.maxLength(MOST_PLAYERS, `at most ${MOST_PLAYERS} players can be heard at once`),
  ),
});

/** For a field that is not known. */
const FIELDS = [...Object.keys(sectionFile.entries), ...Object.keys(player.entries)];

/**
 * Problems, with the player's name where there is one: 'section.json', 'section.shape', 'section.names' (two of one
 * name), 'section.shared' (notes of an input that would be two players').
 */
export function readSectionFile(text: string, path: string): Result<SectionFile> {
  const plain = text.replace(/^\uFEFF/, '');
  let json: unknown;
  try {
    json = JSON.parse(plain);
  } catch (error) {
    const why = jsonTrouble(plain, error as Error);
    return bad('section.json', `Cannot read the section ${path}: it is not JSON: ${why}`);
  }
  const read = v.safeParse(sectionFile, json);
  if (!read.success)
    return bad('section.shape', `Cannot read the section ${path}: ${issueWords(read.issues[0])}`);
  const { players } = read.output;
  const twice = players.find(({ name }, i) => players.findIndex((other) => sameName(other.name, name)) < i);
  if (twice)
    return bad('section.names', `Cannot read the section ${path}: two players are called "${twice.name}"`);
  const shared = sharedSeat(players, ({ from }) => (isOwnSource(from) ? undefined : from.toLowerCase()));
  return shared ? { ok: false, problem: shared } : ok(read.output);
}

/** Two players to whom the same notes would go; `inputOf` names what they play on, undefined for what is theirs alone. */
export function sharedSeat<P extends Seat & { readonly name: string }>(
  players: readonly P[],
  inputOf: (player: P) => string | undefined,
): Problem | undefined {
  for (const [i, one] of players.entries()) {
    const other = players
      .slice(0, i)
      .find(
        (before) => inputOf(one) !== undefined && inputOf(one) === inputOf(before) && shareNotes(one, before),
      );
    if (!other) continue;
    const where = one.channel ?? other.channel;
    const overlap = one.keys !== undefined && other.keys !== undefined;
    return {
      code: 'section.shared',
      message: `Cannot tell "${other.name}" and "${one.name}" apart: both play on "${inputOf(one)}"${where === undefined ? '' : `, channel ${where}`}${overlap ? `, and their keys ${keysText(other.keys)} and ${keysText(one.keys)} overlap` : ''}`,
      hint: 'Give each a channel, or a range of the keys: "keys": "C2-B3".',
      exitStatus: EXIT.usage,
    };
  }
  return undefined;
}

/** The player model: however often it is named, each time it is a player of its own. */
function isOwnSource(from: string): boolean {
  return /^model($|[:,])/.test(from);
}

/** @example readKeys('C2-B3') // { lowest: 36, highest: 59 } */
function readKeys(text: string): KeyRange | undefined {
  const [, low = '', high = ''] = /^\s*([A-Ga-g][#b]*-?\d+)\s*-\s*([A-Ga-g][#b]*-?\d+)\s*$/.exec(text) ?? [];
  const [lowest, highest] = [low, high].map((name) => {
    const spelling = readSpelling(name);
    return spelling && spellingToPitch(spelling);
  });
  const fits = (pitch: number | undefined): pitch is number =>
    pitch !== undefined && pitch >= 0 && pitch <= 127;
  return fits(lowest) && fits(highest) && lowest <= highest ? { lowest, highest } : undefined;
}

/** As the file has it. @example keysText({ lowest: 36, highest: 59 }) // 'C2-B3' */
export function keysText({ lowest, highest }: KeyRange): string {
  return `${spellingName(spellPitch(lowest))}-${spellingName(spellPitch(highest))}`;
}

function sameName(a: string, b: string): boolean {
  return a.toLowerCase() === b.toLowerCase();
}

/** Where in the file, and what is wrong there. */
function issueWords(issue: v.BaseIssue<unknown>): string {
  const path = issue.path ?? [];
  const index = path[0]?.key === 'players' ? path[1]?.key : undefined;
  const row = path[1]?.value;
  const named =
    typeof row === 'object' && row !== null && 'name' in row && v.is(line, row.name)
      ? `player "${row.name}"`
      : `player ${Number(index) + 1}`;
  const field = path.at(-1)?.key;
  const where = [
    ...(typeof index === 'number' ? [named] : []),
    ...(typeof field === 'string' && !(field === 'players' && path.length === 1 && index !== undefined)
      ? [`"${field}"`]
      : []),
  ].join(', ');
  const { message } = issue;
  // A strict object complains of a field that is not known, and of one that is missing.
  const said = issue.type === 'strict_object' ? objectWords(issue, String(field)) : message;
  return where === '' ? said : `${where}: ${said}`;
}

function objectWords({ expected, received, path }: v.BaseIssue<unknown>, field: string): string {
  if (expected === 'never') {
    const near = nearWord(field, FIELDS);
    return `there is no such field${near === undefined ? '' : `; did you mean "${near}"?`}`;
  }
  if (received === 'undefined') return 'it is missing';
  return path === undefined ? 'an object with "players" is needed' : 'name and from in braces are needed';
}

function bad(code: string, message: string): Result<never> {
  return fail({
    code,
    message,
    hint: 'fettle section new FILE writes one by asking each player to play a note; the README has the fields.',
    exitStatus: EXIT.unreadable,
  });
}
