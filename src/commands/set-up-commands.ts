// Commands on the set-up: the instrument, the machine, what is typed every day, the shell.

import { Argument, type Command, Option } from 'commander';
import { CHANNEL, CLICK_TO, FAST, recording } from './option-groups.ts';

export function calibrateCommand(program: Command): void {
  recording(program.command('calibrate'))
    .description('how late your set-up is, and how steady')
    .option('--from <source>', 'who plays: a MIDI input (part of its name), FILE.mid, model[:PROFILE]')
    .option(...CLICK_TO, 'auto')
    .option(...CHANNEL)
    .option('--tempo <bpm>', 'clicks a minute (default: 80)')
    .option('--stream', 'measure the jitter of a steady stream of notes instead')
    .addOption(
      new Option(
        '--tolerance <name>',
        'with --stream: is it steady enough for this one? (default: all three)',
      ).choices(['rough', 'steady', 'concert']),
    )
    .option(...FAST)
    .action(async (options) => (await import('./calibrate.ts')).calibrate(options));
}

export function setUpCommands(program: Command): void {
  program
    .command('ports')
    .description('MIDI inputs and outputs')
    .action(async () => (await import('./ports.ts')).ports());

  program
    .command('set [name] [value]')
    .description('what you type every day, set once: instrument, input ...')
    .option('--forget', 'not set any more')
    .action(async (name, value, options) => (await import('./set.ts')).set(name, value, options));

  program
    .command('completion')
    .addArgument(new Argument('<shell>', 'yours').choices(['bash', 'zsh', 'fish', 'powershell']))
    .description('a script by which your shell completes words')
    .action(async (shell) => (await import('./completion.ts')).printCompletion(shell));

  // What the shell's script asks; the words come after a "--".
  program
    .command('complete [words...]', { hidden: true })
    .action(async (words) => (await import('./completion.ts')).complete(program, words));
}
