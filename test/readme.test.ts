// The README keeps its word: its commands exist, its examples print what it shows.

import { readFileSync } from 'node:fs';
import { Help } from 'commander';
import { describe, expect, it } from 'vitest';
import { buildProgram } from '../src/commands/program.ts';
import { EXIT } from '../src/problem.ts';
import { fettle } from './commands/run.ts';

const README = readFileSync(new URL('../README.md', import.meta.url), 'utf8');
const BLOCKS = [...README.matchAll(/```\n([\s\S]*?)```/g)].map((match) => match[1]!);
const DEVELOPERS = readFileSync(new URL('../DEVELOPERS.md', import.meta.url), 'utf8');

describe('the README', () => {
  it('sets up and runs in one line, and tests in one line', () => {
    expect(BLOCKS).toContain('npm ci && npx fettle demo\n');
    expect(BLOCKS).toContain('npm ci && npm test\n');
  });

  it('names every command and no other', () => {
    // Commander's own list, without the help command: our help names some commands only in its "Also:" line.
    const commands = new Help()
      .visibleCommands(buildProgram())
      .map((command) => command.name())
      .filter((name) => name !== 'help');
    const table = README.slice(README.indexOf('## Commands'), README.indexOf('## How a take is judged'));
    const named = [...table.matchAll(/`fettle ([a-z]+)/g)].map((match) => match[1]!);
    expect([...new Set(named)].sort()).toEqual([...commands].sort());
  });

  it('names no option that is not there', () => {
    const options = new Set(
      buildProgram()
        .commands.flatMap((command) => [command, ...command.commands])
        .flatMap((command) => command.options.map((option) => option.long)),
    );
    const named = [...README.matchAll(/(?<![\w-])--([a-z]+(?:-[a-z]+)*)/g)].map((match) => `--${match[1]}`);
    expect(named.filter((name) => name !== '--help' && !options.has(name))).toEqual([]);
  });

  it('shows what a wrong name really says', async () => {
    const { err } = await fettle('work slipwya');
    expect(README).toContain(err);
  });

  it('shows what the demonstration really says', async () => {
    const { out } = await fettle('demo --plain --fast');
    expect(BLOCKS).toContain(`${out}\n`);
  });

  it('tells every exit status, as the developers’ page does', () => {
    for (const status of Object.values(EXIT)) {
      expect(README).toMatch(new RegExp(`\\b${status} `));
      expect(DEVELOPERS).toMatch(new RegExp(`\\| ${status} +\\|`));
    }
  });
});
