// `fettle section` and what is done before and after: its words on the command line.

import type { Command } from 'commander';
import { CLICK_TO, drilling, handing, judging, sounding, working } from './option-groups.ts';

/** It has the options of `work`, but for those that are each player's own. */
export function sectionCommands(program: Command): void {
  const section = working(
    handing(
      sounding(
        judging(
          drilling(
            program
              .command('section <file> [passage]')
              .description('several players at once: one click, one stop, one gate'),
          ),
        ),
      ),
    ),
  )
    .option(
      '--named-note <note>',
      'everybody plays this note first, as they read it: it sets the transposition',
    )
    .option('--leader <name>', 'whose pedal and control notes count (default: those of all)')
    .option('--quorum <number>', 'so many clean players are enough (default: all)')
    .option('--run-on', 'a slip is marked and stops nobody')
    .option(...WITHOUT)
    .option('--page <file>', 'a page of the rehearsal, with pictures: ends in .html')
    .option('--force', 'write over a page that is there')
    .option('--json', "each take's verdict on the section as a line of JSON")
    .action(async (file, passage, options) => (await import('./section.ts')).section(file, passage, options));

  section
    .command('new <file>')
    .description('write a section file: each player plays one note')
    .option('--passage <name>', 'asks for the part of each, too')
    .option('--force', 'write over a file that is there')
    .action(async (file, _, command) =>
      (await import('./section-new.ts')).newSection(file, command.optsWithGlobals()),
    );

  section
    .command('compare <file> <passage>')
    .description('takes that each had at a station of their own, put together afterwards')
    .option('--record <file>', "a record that has the takes of all, or a studio's address: postgres://...")
    .option('--bars <range>', 'only steps within these bars: 3-4, 3.2-4.1')
    .option('--drill <name>', 'only takes of this drill')
    .option('--from <day>', 'only takes from this day on, such as 2026-11-25')
    .option('--to <day>', 'only takes up to this day')
    .option(...WITHOUT)
    .option('--json', "the section's verdict on each step as a line of JSON")
    .action(async (file, passage, _, command) =>
      (await import('./section-compare.ts')).compareSection(file, passage, command.optsWithGlobals()),
    );

  section
    .command('calibrate <file>')
    .description('all play along with sixteen clicks: the constant lag of each')
    .option('--record <file>', 'where it is kept')
    .option(...CLICK_TO)
    .option(...WITHOUT)
    .option('--fast', 'models and recorded takes on the simulated clock, as fast as it goes')
    .action(async (file, _, command) =>
      (await import('./section-calibrate.ts')).calibrateSection(file, command.optsWithGlobals()),
    );
}

const WITHOUT = [
  '--without <name>',
  'a player of the file who is not there (repeatable)',
  (value: string, all: string[]) => [...all, value],
  [] as string[],
] as const;
