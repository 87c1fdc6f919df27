// `fettle lesson` and what can be done with one: its words on the command line.

import type { Command } from 'commander';
import { nearWord } from '../music/near-word.ts';
import type { ProblemError } from '../problem.ts';
import { drilling, judging } from './option-groups.ts';
import { usage } from './usage-problem.ts';

export function lessonCommands(program: Command): void {
  const lesson = program
    .command('lesson')
    .description('lessons: to hand out, and what came back of them')
    .argument('[word]')
    .action((word?: string) => {
      if (word === undefined) lesson.outputHelp();
      else throw unknown(word, lesson);
    });
  const assigned = (command: Command) =>
    judging(drilling(command))
      .option('--goal <bpm>', 'a tempo to get to: the drills climb a ladder to it')
      .option('--passes <number>', 'clean takes in a row before the next step (default: 3)')
      .option('--due <day>', 'by when, such as 2027-03-14')
      .option('--word <text>', 'a word from you, told when it is begun');

  assigned(lesson.command('new <file> <passages...>'))
    .description('a lesson file from passages, each an assignment')
    .option('--title <text>', 'what it is called (default: from the name of the file)')
    .option('--teacher <name>', 'who gives it')
    .option('--force', 'write over a file that is there')
    .action(async (file, passages, options) =>
      (await import('./lesson-new.ts')).newLesson(file, passages, options),
    );

  assigned(lesson.command('add <file> <passages...>'))
    .description('more assignments at its end')
    .action(async (file, passages, options) =>
      (await import('./lesson-new.ts')).addToLesson(file, passages, options),
    );

  lesson
    .command('show <file>')
    .description('what is in a lesson, step by step')
    .action(async (file) => (await import('./lesson-show.ts')).showLesson(file));

  lesson
    .command('return <file>')
    .description('for pupils: one file for the teacher, with what was played of it')
    .option('--name <name>', "your name, for the teacher (default: the player's)")
    .option('--out <file>', 'where it is written (default: the title, the name and .return)')
    .option('--force', 'write over a file that is there')
    .option('--record <file>', 'where the practice record is kept')
    .option('--player <name>', 'whose record')
    .action(async (file, options) => (await import('./lesson-return.ts')).returnLesson(file, options));

  lesson
    .command('read <returns...>')
    .description('what came back: one pupil, or a class')
    .option('--out <file>', 'write it as a page, too (.html)')
    .option('--force', 'write over a page that is there')
    .option('--json', 'as JSON, format 1')
    .option('--all', 'judge every take again, however many there are')
    .action(async (files, options) => (await import('./lesson-read.ts')).readReturns(files, options));
}

function unknown(word: string, lesson: Command): ProblemError {
  const names = lesson.commands.map((command) => command.name());
  const near = nearWord(word, names);
  return usage(
    'command.unknown',
    `Cannot run "lesson ${word}": there is no such command`,
    near ? `Did you mean fettle lesson ${near}?` : `The commands are ${names.join(', ')}.`,
  );
}
