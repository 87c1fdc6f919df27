// `fettle record` and what can be done with the record: its words on the command line.

import type { Command } from 'commander';

function placed(command: Command): Command {
  return command
    .option('--record <file>', "where the practice record is kept, or a studio's address: postgres://...")
    .option('--player <name>', 'whose record');
}

function dated(command: Command): Command {
  return command
    .option('--passage <name>', 'only takes of this passage')
    .option('--from <day>', 'only takes from this day on, such as 2026-11-25')
    .option('--to <day>', 'only takes up to this day');
}

export function recordCommands(program: Command): void {
  const record = placed(program.command('record'))
    .description('your practice record: where it is and what is in it')
    .action(async (options) => (await import('./record-summary.ts')).recordSummary(options));

  placed(record.command('verify'))
    .description('read all of it and say what is damaged')
    .action(async (_, command) =>
      (await import('./record-summary.ts')).verifyRecord(command.optsWithGlobals()),
    );

  dated(placed(record.command('export <file>')))
    .description('write it as JSON Lines, or as a table (.csv)')
    .option('--force', 'write over a file that is there')
    .action(async (file, _, command) =>
      (await import('./record-export.ts')).exportRecord(file, command.optsWithGlobals()),
    );

  placed(record.command('import [files...]'))
    .description('take up exported takes; without a file those that were saved beside the record')
    .action(async (files, _, command) =>
      (await import('./record-import.ts')).importRecord(files, command.optsWithGlobals()),
    );

  dated(placed(record.command('rejudge')))
    .description("what today's judge says of the takes that are kept")
    .option('--write', 'keep what it says')
    .action(async (_, command) =>
      (await import('./record-rejudge.ts')).rejudgeRecord(command.optsWithGlobals()),
    );

  placed(record.command('share [address]'))
    .description("send copies to a studio's PostgreSQL: postgres://...; alone: send what waits")
    .option(
      '--keep-password',
      "keep the address's password in the record, readable for whoever reads the file",
    )
    .option('--stop', 'send nothing any more')
    .action(async (address, _, command) =>
      (await import('./record-share.ts')).shareRecord(address, command.optsWithGlobals()),
    );

  record
    .command('prepare <address>')
    .description("make a studio's tables and roles, once, as the owner of the database")
    .option('--sql', 'print what would be done instead')
    .action(async (address, options) => (await import('./record-share.ts')).prepare(address, options));

  placed(record.command('take <number>'))
    .description('one take, by its number or "last"')
    .option('--out <file>', 'write what was played as a MIDI file')
    .option('--force', 'write over a file that is there')
    .action(async (number, _, command) =>
      (await import('./record-take.ts')).recordTake(number, command.optsWithGlobals()),
    );
}
