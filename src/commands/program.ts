// The command line: every command and its options. A command's own code loads when it is asked for, so that `--help`
// is quick.

import { existsSync } from 'node:fs';
import { Argument, Command, CommanderError, Help, Option } from 'commander';
import { nearWord } from '../music/near-word.ts';
import { EXIT, type Problem, ProblemError } from '../problem.ts';
import { bundledPath } from './bundled-passages.ts';
import { parsingProblem } from './command-line-trouble.ts';
import { lessonCommands } from './lesson-commands.ts';
import { nearPassage } from './near-passage.ts';
import { printTrouble } from './print.ts';
import { recordCommands } from './record-commands.ts';
import { sectionCommands } from './section-commands.ts';

/** Which music of a file. */
function choosing(command: Command): Command {
  return command
    .option('--part <name>', 'a part, by name or number')
    .option('--voice <number>', 'a voice of the part')
    .option('--hand <hand>', 'left, right or both')
    .option('--melody', 'the upper line alone')
    .option('--instrument <name>', 'written for this instrument, whatever the file says');
}

/** Which stretch of it. */
function spanning(command: Command): Command {
  return choosing(command)
    .option('--bars <range>', 'bars, or bars and beats: 3-4, 3.2-4.1')
    .option('--onsets <range>', 'onset numbers, as `fettle show` counts them: 5-17')
    .option('--mark <text>', 'from a rehearsal mark to the next');
}

const KEYWORK = [
  '--keywork <names>',
  'keys that yours has or has not: left-e-flat (clarinet), high-f-sharp, no-low-b-flat (saxophone)',
] as const;

const TEMPO = '--tempo <bpm>';
const SLOW_TEMPO = 'beats a minute, 10 to 400 (default: two thirds of the goal)';

/** Which drill on it. */
function drilling(command: Command): Command {
  return settling(
    spanning(command)
      .option(TEMPO, SLOW_TEMPO)
      .option('--drill <names>', 'one drill, or several in a row: landings,widening,through'),
  ).option('--pulse <placement>', 'where the click falls: beat, half, bar, offbeat, silent-bars');
}

/** How a drill is made. */
function settling(command: Command): Command {
  return command
    .option(
      '--snag <onsets>',
      'widening, tenuto: onset number where the bad interval begins; several: 5,9 (default: hardest for the fingers)',
    )
    .option(...KEYWORK)
    .option('--every <size>', 'landings, chain: beats a run, 1/2, 1, 2, 4, group, bar or growing')
    .option('--hold <beats>', 'landings, chain: beats a landing is held')
    .option(
      '--groups <sums>',
      'how bars of five, seven and the like are felt: 2+2+3 (default: as written; eighths as 2+3, 2+2+3)',
    )
    .option('--note <value>', 'switchback: the length of its equal notes, 1/8, 1/16, 1/12')
    .option('--variant <names>', 'variants of the drill, as `fettle drills NAME` lists them');
}

function judging(command: Command): Command {
  return command
    .addOption(
      new Option(
        '--tolerance <name>',
        'rough (45 ms or 22 %), steady (28 ms or 13 %), concert (16 ms or 8 %)',
      )
        .choices(['rough', 'steady', 'concert'])
        .default('steady'),
    )
    .addOption(
      new Option(
        '--touch <how>',
        'even: a note louder or softer than its neighbours is a fault, not only told',
      ).choices(['even']),
    );
}

/** Whose record, and where. */
function recording(command: Command): Command {
  return command
    .option('--record <file>', 'where the practice record is kept')
    .option('--player <name>', 'whose takes these are: a record of their own (remembered)');
}

function sounding(command: Command): Command {
  return recording(command)
    .option('--click-to <outlet>', 'where the click sounds: sound, midi[:PORT], sound+midi, off', 'auto')
    .option('--plain', 'plain lines instead of the screen')
    .option('--quiet', 'no verdict sounds');
}

/** The one who plays. */
function hearingOne(command: Command): Command {
  return command
    .option('--from <source>', 'who plays: a MIDI input (part of its name), model[:PROFILE], FILE.mid, keys')
    .option('--channel <number>', 'listen to this MIDI channel only, 1 to 16')
    .option('--shift <semitones>', 'add to every note that comes in')
    .option('--named-note <note>', 'you play this note first, as you read it: it sets the transposition');
}

/** What the instrument itself does beside its notes. */
function handing(command: Command): Command {
  return command
    .option('--pedal <control>', 'what the sustain pedal does: pause, again, skip, back, hear')
    .option(
      '--control <note=control>',
      'a note that is a control: C2=again (repeatable)',
      (value: string, all: string[]) => [...all, value],
      [],
    )
    .option('--monitor', 'sound your own notes where the click sounds, for an instrument without sound');
}

/** How it is gone on. */
function working(command: Command): Command {
  return command
    .option('--passes <number>', 'clean takes in a row before the next step (default: 3)')
    .option('--ladder <range>', 'climb a tempo ladder: all steps on one rung, then the next: 60-96')
    .option('--step-by-step', 'ladder: each step climbs it alone, from bottom to top')
    .option(
      '--up <number>',
      'ladder: clean takes in a row that pass a step on a rung (default: 1; step by step 2)',
    )
    .option('--jump', 'ladder step by step: long strides until the first miss')
    .option('--alternate', 'ladder: every other take at the goal')
    .option('--afresh', 'from the beginning, not from where it was left')
    .option(
      '--minutes <number>',
      'find the trouble, drill it in turns, end after so many minutes; with --drill: only end',
    )
    .option('--clock <way>', 'share the pulse over MIDI clock: send:PORT or follow:PORT')
    .option('--fast', 'a model or a recorded take on the simulated clock, as fast as it goes');
}

/** Those that were typed, not set or assumed. */
function typedOptions(command: Command): string[] {
  return Object.keys(command.opts()).filter((name) => command.getOptionValueSource(name) === 'cli');
}

/** An argument as the help names it. */
function placeOf(argument: Argument): string {
  return argument.required ? argument.name().toUpperCase() : `[${argument.name().toUpperCase()}]`;
}

function unknownCommand(program: Command, word: string): ProblemError {
  const names = program.commands.map((command) => command.name());
  const near = nearCommandLine(word, names);
  return new ProblemError({
    code: 'command.unknown',
    message: `Cannot run "${word}": there is no such command`,
    hint: near ? `Did you mean fettle ${near}?` : `The commands are ${names.join(', ')}.`,
    exitStatus: EXIT.usage,
  });
}

/** A passage that is there was meant to be worked on; otherwise the nearest command, and then the nearest passage. */
function nearCommandLine(word: string, names: readonly string[]): string | undefined {
  if (bundledPath(word) !== undefined || existsSync(word)) return `work ${word}`;
  const passage = nearPassage(word);
  return nearWord(word, names) ?? (passage === undefined ? undefined : `work ${passage}`);
}

/** `fettle help` and `fettle help COMMAND`, which many try first. */
function help(program: Command, word: string | undefined): void {
  const command = word === undefined ? program : program.commands.find((one) => one.name() === word);
  if (!command) throw unknownCommand(program, word!);
  command.outputHelp();
}

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
      subcommandTerm: (command) => [command.name(), ...command.registeredArguments.map(placeOf)].join(' '),
    })
    .exitOverride()
    .addHelpText(
      'after',
      `
  fettle work slipway --bars 1-2 begins; fettle demo shows it with nothing plugged in.`,
    )
    .argument('[word]')
    .allowExcessArguments()
    .action(async (word?: string) => {
      if (word === 'help') {
        help(program, program.args[1]);
        return;
      }
      if (word !== undefined) throw unknownCommand(program, word);
      const { start } = await import('./start.ts');
      await start();
    });

  working(
    hearingOne(
      handing(
        sounding(
          judging(
            drilling(
              program
                .command('work [passage]')
                .description("step by step, on only when clean; alone: today's plan"),
            ),
          ),
        ),
      ),
    ),
  ).action(async (passage, options, command) =>
    (await import('./work.ts')).work(passage, options, typedOptions(command)),
  );

  sectionCommands(program, (command) => working(sounding(judging(drilling(command)))));

  hearingOne(
    handing(
      sounding(
        judging(
          spanning(
            program
              .command('survey <passage>')
              .description('find where the trouble is, in a few run-throughs'),
          ),
        ),
      ),
    ),
  )
    .option(TEMPO, SLOW_TEMPO)
    .option(...KEYWORK)
    .option('--takes <number>', 'run-throughs, 2 to 5', '3')
    .option('--fast', 'a model or a recorded take on the simulated clock, as fast as it goes')
    .action(async (passage, options) => (await import('./survey.ts')).survey(passage, options));

  drilling(program.command('steps <passage>').description("print a drill's steps without playing"))
    .option('--json', 'as JSON, format 1')
    .action(async (passage, options) => (await import('./steps.ts')).steps(passage, options));

  judging(spanning(program.command('judge <passage> <take>').description('the verdict on a recorded take')))
    .option(TEMPO, "beats a minute, 10 to 400 (default: the take's own pace)")
    .option('--json', 'as JSON, format 1')
    .action(async (passage, take, options) =>
      (await import('./judge-take.ts')).judgeRecorded(passage, take, options),
    );

  spanning(program.command('show <passage>').description('a passage with its bar and onset numbers')).action(
    async (passage, options) => (await import('./show.ts')).show(passage, options),
  );

  spanning(program.command('fingering <passage>').description('fingerings decided beforehand, and why'))
    .option(...KEYWORK)
    .option('--json', 'as JSON, format 1')
    .action(async (passage, options) => (await import('./fingering.ts')).fingering(passage, options));

  program
    .command('check <file>')
    .description('what in a file was not understood or left out')
    .action(async (file) => (await import('./check.ts')).check(file));

  drilling(
    program.command('convert <passage> <file>').description('write it, or a drill on it, in another form'),
  )
    .option('--force', 'write over a file that is there')
    .action(async (passage, file, options) => (await import('./convert.ts')).convert(passage, file, options));

  settling(
    spanning(
      program
        .command('sheet <passage>')
        .description('write its drills out on paper: PDF, SVG, MusicXML, text'),
    ).option(TEMPO, SLOW_TEMPO),
  )
    .option('--drills <names>', 'the drills on it, in order', 'landings,switchback,widening')
    .option('--goal <bpm>', 'the last tempo to tick off (default: the goal of the passage)')
    .option('--out <file>', 'ends in .pdf, .svg or .musicxml (default: the title and .pdf)')
    .option('--text', 'print it as text instead')
    .addOption(new Option('--paper <size>', 'of the pages').choices(['a4', 'letter']).default('a4'))
    .option('--footer <text>', 'a line at the foot of each page')
    .option('--yes', 'also when it has more than 40 pages')
    .option('--force', 'write over a file that is there')
    .action(async (passage, options) => (await import('./sheet.ts')).sheet(passage, options));

  recording(program.command('capture'))
    .description('play a passage in; it is saved as ABC')
    .option('--from <source>', 'who plays: a MIDI input (part of its name) or FILE.mid')
    .option('--meter <meter>', 'such as 4/4, 3/4, 6/8', '4/4')
    .option('--tempo <bpm>', 'beats a minute to play it in at, slowly (default: 60)')
    .option('--goal <bpm>', 'goal tempo that is written down (default: the one it is played in at)')
    .option('--key <key>', 'key signature as you read it: C, Bb, F#m, "D dorian"')
    .option('--instrument <name>', 'note names are written for it', 'keyboard')
    .option('--title <text>', 'title (default: from the name of the file)')
    .option('--pickup <beats>', 'a recorded take begins so many beats before the first bar')
    .option('--click-to <outlet>', 'where the click sounds: sound, midi[:PORT], sound+midi, off', 'auto')
    .option('--channel <number>', 'listen to this MIDI channel only, 1 to 16')
    .option('--shift <semitones>', 'add to every note that comes in')
    .option('--out <file>', 'where it is saved (asked for otherwise)')
    .option('--yes', 'save without asking')
    .option('--force', 'write over a file that is there')
    .option('--fast', 'a recorded take on the simulated clock, as fast as it goes')
    .action(async (options) => (await import('./capture.ts')).capture(options));

  recording(program.command('calibrate'))
    .description('how late your set-up is, and how steady')
    .option('--from <source>', 'who plays: a MIDI input (part of its name), FILE.mid, model[:PROFILE]')
    .option('--click-to <outlet>', 'where the click sounds: sound, midi[:PORT], sound+midi, off', 'auto')
    .option('--channel <number>', 'listen to this MIDI channel only, 1 to 16')
    .option('--tempo <bpm>', 'clicks a minute (default: 80)')
    .option('--stream', 'measure the jitter of a steady stream of notes instead')
    .addOption(
      new Option(
        '--tolerance <name>',
        'with --stream: is it steady enough for this one? (default: all three)',
      ).choices(['rough', 'steady', 'concert']),
    )
    .option('--fast', 'a model or a recorded take on the simulated clock, as fast as it goes')
    .action(async (options) => (await import('./calibrate.ts')).calibrate(options));

  recordCommands(program);
  lessonCommands(program, (command) => judging(drilling(command)));

  recording(
    program
      .command('today')
      .description('what to do today, in the minutes that there are')
      .option('--minutes <number>', 'minutes of playing', '20')
      .option('--json', 'machine-readable'),
  ).action(async (options) => (await import('./today.ts')).today(options));

  recording(
    spanning(program.command('goal [passage]').description('a tempo by a day'))
      .option('--tempo <bpm>', 'beats a minute (default: what the passage says)')
      .option('--by <day>', 'such as 2027-03-14')
      .option('--forget', 'no goal any more'),
  ).action(async (passage, options) => (await import('./goal.ts')).goal(passage, options));

  recording(
    spanning(program.command('progress [passage]').description('whether it gets better')).option(
      '--json',
      'machine-readable',
    ),
  ).action(async (passage, options) => (await import('./progress.ts')).progress(passage, options));

  recording(
    spanning(program.command('report [passage]').description('the same as a page to print, with pictures'))
      .option('--from <day>', 'from this day on, such as 2026-11-01')
      .option('--to <day>', 'up to this day')
      .option('--out <file>', 'where it is written (default: the name and .html)')
      .option('--force', 'write over a file that is there'),
  ).action(async (passage, options) => (await import('./report.ts')).report(passage, options));

  program
    .command('passages')
    .description('the bundled passages')
    .action(async () => (await import('./passages.ts')).passages());

  program
    .command('drills [name]')
    .description('the drill book, or one drill of it')
    .action(async (name) => (await import('./drill-book.ts')).drillBook(name));

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
    .addArgument(new Argument('<shell>', 'bash, zsh, fish').choices(['bash', 'zsh', 'fish', 'powershell']))
    .description('a script by which your shell completes words')
    .action(async (shell) => (await import('./completion.ts')).printCompletion(shell));

  // What the shell's script asks; the words come after a "--".
  program
    .command('complete [words...]', { hidden: true })
    .action(async (words) => (await import('./completion.ts')).complete(program, words));

  program
    .command('demo')
    .description('a simulated player at work, in real time')
    .option('--plain', 'plain lines instead of the screen')
    .option('--fast', 'on the simulated clock, as fast as it goes')
    .option('--click-to <outlet>', 'where the click sounds: sound, midi[:PORT], off', 'off')
    .action(async (options) => (await import('./demo.ts')).demo(options));

  program.hook('preAction', async (_, command) => (await import('./settings.ts')).useSettings(command));
  for (const command of program.commands) command.exitOverride().allowExcessArguments(false);
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
  if (hint) printTrouble(`  ${/^fettle /.test(hint) ? hint : hint[0]!.toUpperCase() + hint.slice(1)}`);
  return exitStatus;
}
