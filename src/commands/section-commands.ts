// `fettle section` and what is done before and after: its words on the command line.

import type { Command } from 'commander';
import { drilling, judging, sounding, working } from './option-groups.ts';

/** It has the options of `work`, but for those that are each player's own. */
export function sectionCommands(program: Command): void {
  working(
    sounding(
      judging(
        drilling(
          program
            .command('section <file> [passage]')
            .description('several players at once: one click, one stop, one gate'),
        ),
      ),
    ),
  )
    .option('--quorum <number>', 'so many clean players are enough (default: all)')
    .option('--run-on', 'a slip is marked and stops nobody')
    .option(
      '--without <name>',
      'a player of the file who is not there (repeatable)',
      (value: string, all: string[]) => [...all, value],
      [],
    )
    .option('--json', "each take's verdict on the section as a line of JSON")
    .action(async (file, passage, options) => (await import('./section.ts')).section(file, passage, options));
}
