// `fettle section` and what is done before and after: its words on the command line.

import type { Command } from 'commander';

/** `asWork` gives it the options of `work`. */
export function sectionCommands(program: Command, asWork: (command: Command) => Command): void {
  asWork(
    program
      .command('section <file> [passage]')
      .description('several players at once: one click, one stop, one gate'),
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
