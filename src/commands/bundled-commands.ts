// Commands on what comes with Fettle: its passages and the drill book.

import type { Command } from 'commander';

export function bundledCommands(program: Command): void {
  program
    .command('passages')
    .description('the bundled passages')
    .action(async () => (await import('./passages.ts')).passages());

  program
    .command('drills [name]')
    .description('the drill book, or one drill of it')
    .action(async (name) => (await import('./drill-book.ts')).drillBook(name));
}
