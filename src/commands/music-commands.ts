// Commands on a passage, its drills and takes: what they are, what they become, how one is played in.

import { type Command, Option } from 'commander';
import {
  CHANNEL,
  CLICK_TO,
  drilling,
  judging,
  KEYWORK,
  recording,
  SLOW_TEMPO,
  settling,
  spanning,
  TEMPO,
} from './option-groups.ts';

export function musicCommands(program: Command): void {
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
      program.command('sheet <passage>').description('write its drills out on paper (PDF, SVG, text)'),
    ).option(TEMPO, SLOW_TEMPO),
  )
    .option('--drills <names>', 'the drills on it, in order (default: landings,switchback,widening)')
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
    .option(...CLICK_TO, 'auto')
    .option(...CHANNEL)
    .option('--shift <semitones>', 'add to every note that comes in')
    .option('--out <file>', 'where it is saved (asked for otherwise)')
    .option('--yes', 'save without asking')
    .option('--force', 'write over a file that is there')
    .option('--fast', 'a recorded take on the simulated clock, as fast as it goes')
    .action(async (options) => (await import('./capture.ts')).capture(options));
}
