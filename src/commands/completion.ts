// Completion in the shell: what can stand where the cursor is. The shell's script and the sifting of the words are the
// library's; what there is to choose from is told to it here.

import { dirname, join } from 'node:path';
import { type ArgumentHandler, type OptionHandler, RootCommand } from '@bomb.sh/tab';
import type { Command } from 'commander';
import { DRILLS } from '../drills/catalogue.ts';
import { INSTRUMENT_NAMES } from '../music/instrument.ts';
import { CONTROLS } from '../session/event.ts';
import { bundledNames } from './bundled-passages.ts';
import { MUSIC_ENDINGS, musicFiles } from './near-passage.ts';
import { print } from './print.ts';
import { SETTINGS } from './settings.ts';
import { offeredCommands } from './unknown-command.ts';

const SHELLS = ['bash', 'zsh', 'fish', 'powershell'] as const;

const TAKE_ENDINGS = ['.mid', '.midi'];
const LESSON_ENDINGS = ['.lesson'];
/** What runs a lesson, or takes music of one. */
const LESSON_TAKERS = ['work', 'show', 'progress', 'sheet'];

/** The library's script for bash takes this function from a package of bash's that not every system has. */
const BASH_WORDS = `if ! declare -F _get_comp_words_by_ref > /dev/null; then
  _get_comp_words_by_ref() {
    words=("\${COMP_WORDS[@]}"); cword=$COMP_CWORD
    cur=\${COMP_WORDS[COMP_CWORD]}; prev=\${COMP_WORDS[COMP_CWORD - 1]}
  }
fi`;

/** Prints the script that a shell runs once. The shell's name was checked on the command line. */
export function printCompletion(shell: string): void {
  if (shell === 'bash') print(BASH_WORDS);
  new RootCommand().setup('fettle', 'fettle', shell);
}

/** Prints what can follow the words that were typed so far, the last of them not yet whole. */
export function complete(program: Command, words: readonly string[]): void {
  const root = new RootCommand();
  const offered = offeredCommands(program);
  for (const command of offered) {
    tellCommand(root, command.name(), command, words);
    for (const one of command.commands) tellCommand(root, `${command.name()} ${one.name()}`, one, words);
  }
  root.command('help', 'how a command is used');
  root.commands.get('help')?.argument('command', offering(offered.map((one) => one.name())));
  root.parse([...words]);
}

function tellCommand(root: RootCommand, path: string, command: Command, words: readonly string[]): void {
  const typed = words.at(-1) ?? '';
  const told = root.command(path, command.description());
  for (const option of command.options) {
    if (option.hidden || option.long === undefined) continue;
    const takesValue = option.required || option.optional;
    const values = option.argChoices ?? OPTION_VALUES[option.attributeName()]?.(typed) ?? [];
    const name = option.long.slice(2);
    if (takesValue) told.option(name, option.description, offering(values));
    else told.option(name, option.description);
  }
  for (const argument of command.registeredArguments)
    told.argument(argument.name(), offering(argumentValues(argument.name(), path, words)), argument.variadic);
}

function offering(values: readonly string[]): ArgumentHandler & OptionHandler {
  // A name with control characters is never offered: a terminal would obey them, and they would break the list.
  return (tell: (value: string, description: string) => void) => {
    for (const value of values) if (!/[\x00-\x1f\x7f-\x9f]/.test(value)) tell(value, '');
  };
}

const OPTION_VALUES: Readonly<Record<string, (typed: string) => readonly string[]>> = {
  drill: () => DRILLS.map((drill) => drill.name),
  instrument: () => INSTRUMENT_NAMES,
  hand: () => ['left', 'right', 'both'],
  every: () => ['1/2', '1', '2', '4', 'bar', 'growing'],
  pulse: () => ['beat', 'half', 'bar', 'offbeat', 'silent-bars'],
  pedal: () => CONTROLS,
  from: (typed) => ['keys', 'model', ...filesFor(typed, TAKE_ENDINGS)],
  clickTo: () => ['sound', 'midi', 'sound+midi', 'off'],
  clock: () => ['send:', 'follow:'],
};

function argumentValues(name: string, command: string, words: readonly string[]): readonly string[] {
  const typed = words.at(-1) ?? '';
  if (name === 'passage' || name === 'passages') {
    const lessons = LESSON_TAKERS.includes(command) ? LESSON_ENDINGS : [];
    return [...bundledNames(), ...filesFor(typed, [...MUSIC_ENDINGS, ...lessons])];
  }
  if (name === 'returns') return filesFor(typed, ['.return']);
  if (name === 'file' && command.startsWith('lesson ')) return filesFor(typed, LESSON_ENDINGS);
  if (name === 'take') return filesFor(typed, TAKE_ENDINGS);
  if (name === 'file') return filesFor(typed);
  if (name === 'shell') return SHELLS;
  if (command === 'drills') return DRILLS.map((drill) => drill.name);
  if (command === 'set' && name === 'name') return SETTINGS.map((setting) => setting.name);
  if (command === 'set' && name === 'value') return settingValues(words.at(-2));
  return [];
}

function settingValues(setting: string | undefined): readonly string[] {
  if (setting === 'instrument') return INSTRUMENT_NAMES;
  if (setting === 'tolerance') return ['rough', 'steady', 'concert'];
  if (setting === 'click') return ['sound', 'midi', 'sound+midi', 'off'];
  return setting === 'input' ? ['keys'] : [];
}

/** Music files, or those of other endings, in the folder that was typed so far, as they are typed. */
function filesFor(typed: string, endings?: readonly string[]): string[] {
  const folder = /[/\\]$/.test(typed) ? typed : dirname(typed);
  const prefix = folder === '.' && !typed.startsWith('.') ? '' : folder;
  return musicFiles(folder, endings).map((file) => (prefix === '' ? file : join(prefix, file)));
}
