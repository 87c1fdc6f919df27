// The command line: its commands in the order of the help, and the one place where trouble is printed. A command's own
// code loads when it is asked for, so that `--help` is quick.

import { type Argument, Command, CommanderError, Help } from 'commander';
import { EXIT, type Problem, ProblemError } from '../problem.ts';
import { capitalised } from '../wording/counted.ts';
import { bundledCommands } from './bundled-commands.ts';
import { parsingProblem } from './command-line-trouble.ts';
import { lessonCommands } from './lesson-commands.ts';
import { musicCommands } from './music-commands.ts';
import { printTrouble } from './print.ts';
import { progressCommands } from './progress-commands.ts';
import { recordCommands } from './record-commands.ts';
import { sectionCommands } from './section-commands.ts';
import { calibrateCommand, setUpCommands } from './set-up-commands.ts';
import { help, unknownCommand } from './unknown-command.ts';
import { demoCommand, surveyCommand, workCommand } from './work-commands.ts';

/** An argument as the help names it. */
function placeOf(argument: Argument): string {
  return argument.required ? argument.name().toUpperCase() : `[${argument.name().toUpperCase()}]`;
}

/** Commands that are seldom needed: named at the end of the help, which is to be seen whole in 24 rows. */
const FURTHER: readonly string[] = [
  'check',
  'convert',
  'fingering',
  'calibrate',
  'goal',
  'report',
  'passages',
  'ports',
  'set',
  'completion',
];

export function buildProgram(): Command {
  const program = new Command('fettle')
    .usage('COMMAND [options]     each command has its own --help')
    .version('0.1.0')
    .helpCommand(false)
    // Trouble is told in one place, `report`.
    .configureOutput({ writeErr: () => {} })
    .showSuggestionAfterError(true)
    .configureHelp({
      // The commands alone: all of them are to be seen at once.
      visibleOptions(command) {
        return command.parent ? Help.prototype.visibleOptions.call(this, command) : [];
      },
      visibleCommands(command) {
        const all = Help.prototype.visibleCommands.call(this, command);
        return command.parent ? all : all.filter((one) => !FURTHER.includes(one.name()));
      },
      subcommandTerm: (command) => [command.name(), ...command.registeredArguments.map(placeOf)].join(' '),
    })
    .exitOverride()
    .addHelpText(
      'after',
      `
Also: ${FURTHER.join(', ')}.

  fettle work slipway --bars 1-2 begins; fettle demo shows it with nothing plugged in.`,
    )
    .argument('[word]')
    .action(async (word?: string) => {
      if (word === 'help') {
        help(program, program.args[1]);
        return;
      }
      if (word !== undefined) throw unknownCommand(program, word);
      const { start } = await import('./start.ts');
      await start();
    });

  workCommand(program);
  sectionCommands(program);
  surveyCommand(program);
  musicCommands(program);
  calibrateCommand(program);
  recordCommands(program);
  lessonCommands(program);
  progressCommands(program);
  bundledCommands(program);
  setUpCommands(program);
  demoCommand(program);

  program.hook('preAction', async (_, command) => (await import('./settings.ts')).useSettings(command));
  // Only here: a command inherits whatever was set before it was made.
  program.allowExcessArguments();
  return program;
}

/** Runs a command line (without the program's own two words) and returns the exit status. Prints any trouble. */
export async function runProgram(words: readonly string[]): Promise<number> {
  const program = buildProgram();
  try {
    await program.parseAsync(words, { from: 'user' });
    return 0;
  } catch (error) {
    return report(error, program.commands.find((one) => one.name() === words[0])?.name());
  }
}

/** The one place where trouble is printed: the world's in a sentence, ours with its stack. */
function report(error: unknown, command: string | undefined): number {
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : tell(parsingProblem(error, command));
  if (error instanceof ProblemError) return tell(error.problem);
  tellFault(error);
  return EXIT.internal;
}

/** A fault of ours, for whoever mends it. */
export function tellFault(error: unknown): void {
  printTrouble('fettle: this is a bug in Fettle, not in your playing. What was finished is kept.');
  printTrouble((error instanceof Error && error.stack) || String(error));
}

function tell({ message, hint, exitStatus }: Problem): number {
  printTrouble(`fettle: ${message}`);
  // A command keeps its small letter, a sentence begins with a capital one.
  if (hint) printTrouble(`  ${/^fettle /.test(hint) ? hint : capitalised(hint)}`);
  return exitStatus;
}
