// What is typed every day can be set once: each setting stands for an option, wherever a command has it and it was not
// typed.

import type { Command } from 'commander';
import { recordedPlayers } from '../devices/home.ts';
import { type KeptSettings, readSettings, writeSettings } from '../devices/settings-file.ts';
import { isStudioAddress } from '../devices/studio-address.ts';
import { nearWord } from '../music/near-word.ts';
import { ProblemError } from '../problem.ts';
import { isToleranceName } from '../take/tolerance.ts';
import { knownInstrument } from './part-argument.ts';
import { need, usage } from './usage-problem.ts';

interface Setting {
  readonly name: string;
  /** For people. */
  readonly meaning: string;
  /** The option that it stands for, as commander names its value. */
  readonly option: string;
  /** Commands that have the option and mean something else by it. */
  readonly notFor: readonly string[];
  /** Throws a ProblemError for what can be no value of it. */
  readonly check: (value: string) => void;
}

export const SETTINGS: readonly Setting[] = [
  {
    name: 'instrument',
    meaning: 'what you play: passages are taken as written for it',
    option: 'instrument',
    // These write music for others, which must not change with one's own instrument.
    notFor: ['convert', 'sheet', 'new', 'add'],
    check: (value) => void knownInstrument(value),
  },
  {
    name: 'input',
    meaning: "who plays, as --from has it: a part of a MIDI input's name, keys",
    option: 'from',
    notFor: [],
    check: (value) => filled(value, 'input'),
  },
  {
    name: 'tolerance',
    meaning: 'how strictly: rough, steady, concert',
    option: 'tolerance',
    // `calibrate` asks about a tolerance; in a lesson it is the pupil's.
    notFor: ['calibrate', 'new', 'add'],
    check: (value) => {
      if (isToleranceName(value)) return;
      throw usage('setting.value', `Cannot set the tolerance "${value}": rough, steady or concert is needed`);
    },
  },
  {
    name: 'click',
    meaning: 'where the click sounds, as --click-to has it: sound, midi:PORT, off',
    option: 'clickTo',
    // It is silent by itself, so that it disturbs nobody.
    notFor: ['demo'],
    check: (value) => {
      if (/^(auto|off|(sound|midi(:[^+]+)?)(\+(sound|midi(:[^+]+)?))*)$/.test(value)) return;
      throw usage(
        'setting.value',
        `Cannot set the click to "${value}": it goes to sound, midi:PORT, both with a +, or off`,
      );
    },
  },
  {
    name: 'player',
    meaning: 'whose takes these are; each has a practice record of their own',
    option: 'player',
    notFor: [],
    check: checkPlayer,
  },
];

/** A name that can be a folder's on every system. Throws a ProblemError. */
export function checkPlayer(name: string): void {
  if (/^[\p{L}\p{N}](?:[\p{L}\p{N} _.-]{0,38}[\p{L}\p{N}])?$/u.test(name)) return;
  throw usage(
    'option.player',
    `Cannot use the player's name "${name}": up to 40 letters, digits, spaces, dots and dashes are needed`,
  );
}

function filled(value: string, name: string): void {
  if (value.trim() === '') throw usage('setting.value', `Cannot set the ${name} to nothing`);
}

/** Throws a ProblemError where there is none of that name. */
export function settingNamed(name: string): Setting {
  const found = SETTINGS.find((one) => one.name === name);
  if (found) return found;
  const names = SETTINGS.map((one) => one.name);
  const near = nearWord(name, names);
  throw usage(
    'setting.unknown',
    `Cannot set "${name}": there is no such setting`,
    near ? `Did you mean ${near}?` : `The settings are ${names.join(', ')}.`,
  );
}

/** Commands that look at what somebody has played: that is no change of who plays. */
const LOOKING = ['today', 'progress', 'report', 'record', 'return'];

/**
 * Fills in what was set for the options that were not typed; a player who was named is remembered, where it is not only to
 * look at what they have played.
 */
export async function useSettings(command: Command): Promise<void> {
  // In a studio's record --player says who is looked at, not who one is; of a record that is named all is exported.
  const record: unknown = command.optsWithGlobals().record;
  const isOwn =
    typeof record !== 'string' || (!isStudioAddress(record) && command.parent?.name() !== 'record');
  const useful = SETTINGS.filter(
    ({ option, notFor }) =>
      !notFor.includes(command.name()) &&
      (isOwn || option !== 'player') &&
      command.options.some((one) => one.attributeName() === option),
  );
  if (useful.length === 0) return;
  const kept = need(await readSettings());
  for (const { name, option, check } of useful) {
    if (command.getOptionValueSource(option) === 'cli') continue;
    const value = kept[name];
    if (value === undefined) continue;
    checkSet(name, () => check(value));
    command.setOptionValueWithSource(option, value, 'config');
  }
  const player: unknown = command.getOptionValue('player');
  if (typeof player !== 'string' || !isOwn) return;
  checkPlayer(player);
  if (LOOKING.includes(command.name()) || command.parent?.name() === 'record') {
    if (record === undefined && player !== kept.player) await needPlayed(player);
    return;
  }
  if (kept.player !== player) await keepSetting('player', player);
}

/** What was set may have been mended by hand, and nobody typed it now. */
function checkSet(name: string, check: () => void): void {
  try {
    check();
  } catch (error) {
    if (!(error instanceof ProblemError)) throw error;
    const hint = `It was set with fettle set; fettle set ${name} --forget takes it back.`;
    throw new ProblemError({ ...error.problem, hint });
  }
}

/** A new player's name is a mistake where there is only something to look at. Throws a ProblemError. */
async function needPlayed(player: string): Promise<void> {
  const players = await recordedPlayers();
  if (players.includes(player.toLowerCase())) return;
  const near = nearWord(player.toLowerCase(), players);
  throw usage(
    'option.player',
    `Cannot find the record of "${player}": nobody of that name has played on this computer`,
    near
      ? `Did you mean ${near}?`
      : players.length > 0
        ? `There are ${players.join(', ')}.`
        : 'Nobody has played under a name of their own yet: leave out --player.',
  );
}

/** Undefined forgets it. */
export async function keepSetting(name: string, value: string | undefined): Promise<void> {
  const kept: Record<string, string> = { ...need(await readSettings()) };
  if (value === undefined) delete kept[name];
  else kept[name] = value;
  need(await writeSettings(kept));
}

export async function keptSettings(): Promise<KeptSettings> {
  return need(await readSettings());
}
