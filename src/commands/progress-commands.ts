// Commands on what was practised and what is next: `fettle today`, `goal`, `progress`, `report`.

import type { Command } from 'commander';
import { looking, recording, spanning } from './option-groups.ts';

const SECTION = ['--section [name]', 'of what a section played together, not of one player'] as const;

export function progressCommands(program: Command): void {
  looking(
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

  looking(
    spanning(program.command('progress [passage]').description('whether it gets better'))
      .option(...SECTION)
      .option('--json', 'machine-readable'),
  ).action(async (passage, options) => (await import('./progress.ts')).progress(passage, options));

  looking(
    spanning(program.command('report [passage]').description('the same as a page to print, with pictures'))
      .option(...SECTION)
      .option('--from <day>', 'from this day on, such as 2026-11-01')
      .option('--to <day>', 'up to this day')
      .option('--out <file>', 'where it is written (default: the name and .html)')
      .option('--force', 'write over a file that is there'),
  ).action(async (passage, options) => (await import('./report.ts')).report(passage, options));
}
