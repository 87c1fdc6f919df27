// What comes from outside is never obeyed by the terminal: ECMA-48's C0 and C1 sets and DEL, ends of lines apart.

import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { openQuestions } from '../../src/commands/questions.ts';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const OBEYED = /[\x00-\x09\x0b-\x1f\x7f-\x9f]/;
const EVIL = '\x1b]0;mine\x07\x1b[2J\x9b31m\x85';

const folder = ownFolder();
const tune = join(folder, 'evil.abc');
writeFileSync(tune, `X:1\nT:Harbour ${EVIL} Light\nM:4/4\nL:1/4\nK:C\n"${EVIL}"CDEF|GABc|]\n`);

describe('what is printed', () => {
  it.each([
    ['show', [tune]],
    ['check', [tune]],
    ['steps', [tune]],
    ['work', [tune, '--from', 'model:exact', '--fast', '--passes', '1']],
    ['show', [EVIL]],
    ['drills', [EVIL]],
    [EVIL, []],
    ['work', [tune, '--drill', EVIL]],
    ['work', ['slipway', `--${EVIL}`]],
    ['judge', [tune, EVIL]],
  ] as const)('holds nothing that a terminal obeys: %s', async (command, words) => {
    const { out, err } = await fettle([command, ...words]);
    expect(`${out}${err}`).toMatch(/\w/);
    expect(`${out}${err}`).not.toMatch(OBEYED);
  });

  it('is printed in one place', () => {
    const sources = resolve(import.meta.dirname, '../../src');
    const printing = readdirSync(sources, { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.ts'))
      .filter((name) => /\bconsole\.|stdout\.write/.test(readFileSync(join(sources, name), 'utf8')));
    expect(printing).toEqual([join('commands', 'print.ts')]);
  });

  it('is broken between words where a person looks on', () => {
    const lines: string[] = [];
    const log = vi.spyOn(console, 'log').mockImplementation((line) => void lines.push(...line.split('\n')));
    const narrow = { isTTY: true, columns: 30 } as NodeJS.WriteStream;
    openQuestions(process.stdin, narrow).tell(
      'Tidewrack keys, 4/4 at 60: a bar is counted, then play.\n  short',
    );
    log.mockRestore();
    expect(lines).toEqual(['Tidewrack keys, 4/4 at 60: a', 'bar is counted, then play.', '  short']);
  });
});
