// What the command line's parser has to complain of, told as all other trouble is: what, why, what to do.

import type { CommanderError } from 'commander';
import { EXIT, type Problem } from '../problem.ts';

/** @param command The command that was typed, if it is one. */
export function parsingProblem({ code, message }: CommanderError, command: string | undefined): Problem {
  const all = command === undefined ? 'fettle --help' : `fettle ${command} --help`;
  const [, quoted = ''] = /'([^']*)'/.exec(message) ?? [];
  const told = (text: string, hint: string): Problem => ({
    code: code.replace('commander.', 'command-line.'),
    message: text,
    hint,
    exitStatus: EXIT.usage,
  });
  switch (code) {
    case 'commander.unknownOption': {
      const [, near] = /Did you mean (?:one of )?([^?]+)\?/.exec(message) ?? [];
      return told(
        `Cannot use ${quoted}: there is no such option`,
        near === undefined ? `All options: ${all}` : `Did you mean ${near}?`,
      );
    }
    case 'commander.missingArgument':
      return told(
        `Cannot run ${command}: ${quoted.toUpperCase()} is missing`,
        quoted === 'passage'
          ? 'Give a bundled name (fettle passages lists them) or a file.'
          : `What it takes: ${all}`,
      );
    case 'commander.optionMissingArgument': {
      const [option = '', value = ''] = quoted.split(' ');
      return told(
        `Cannot use ${option}: its ${value.replace(/[<>]/g, '')} is missing`,
        `Give it after the option. All options: ${all}`,
      );
    }
    case 'commander.invalidArgument': {
      const [, word, allowed] =
        /command-argument value '([^']*)'.* Allowed choices are (.*)\.$/.exec(message) ?? [];
      if (word !== undefined) return told(`Cannot use "${word}": it is none of ${allowed}`, `More: ${all}`);
      const [, given, , choices = ''] =
        /argument '([^']*)' is invalid\.( Allowed choices are (.*)\.)?/.exec(message) ?? [];
      return told(
        `Cannot use ${quoted.split(' ')[0]} "${given}": it is none of ${choices}`,
        `What they mean: ${all}`,
      );
    }
    case 'commander.excessArguments': {
      const [, expected, got] = /Expected (\d+) arguments? but got (\d+)/.exec(message) ?? [];
      const more = Number(got) - Number(expected);
      return told(
        `Cannot run ${command}: there ${more === 1 ? 'is a word' : `are ${more} words`} too many`,
        'A range is written with a dash (--bars 3-4), and a name with spaces in quotes.',
      );
    }
    default:
      return told(`Cannot run it: ${message.replace(/^error: /, '')}`, `More: ${all}`);
  }
}
