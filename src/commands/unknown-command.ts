// `fettle help`, and what is said when there is no such command.

import { existsSync } from 'node:fs';
import type { Command } from 'commander';
import { nearWord } from '../music/near-word.ts';
import { EXIT, ProblemError } from '../problem.ts';
import { bundledPath } from './bundled-passages.ts';
import { nearPassage } from './near-passage.ts';

export function unknownCommand(program: Command, word: string): ProblemError {
  const names = offeredCommands(program).map((command) => command.name());
  const near = nearCommandLine(word, names);
  return new ProblemError({
    code: 'command.unknown',
    message: `Cannot run "${word}": there is no such command`,
    hint: near ? `Did you mean fettle ${near}?` : `The commands are ${names.join(', ')}.`,
    exitStatus: EXIT.usage,
  });
}

/** All but the one that only the shell's script for completion types. */
export function offeredCommands(program: Command): readonly Command[] {
  return program.commands.filter((one) => one.name() !== 'complete');
}

/** A passage that is there was meant to be worked on; otherwise the nearest command, and then the nearest passage. */
function nearCommandLine(word: string, names: readonly string[]): string | undefined {
  if (bundledPath(word) !== undefined || existsSync(word)) return `work ${word}`;
  const passage = nearPassage(word);
  return nearWord(word, names) ?? (passage === undefined ? undefined : `work ${passage}`);
}

/** `fettle help` and `fettle help COMMAND`, which many try first. */
export function help(program: Command, word: string | undefined): void {
  const command = word === undefined ? program : program.commands.find((one) => one.name() === word);
  if (!command) throw unknownCommand(program, word!);
  command.outputHelp();
}
