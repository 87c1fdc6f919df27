import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { DRILL_NAMES } from '../../src/drills/catalogue.ts';
import { built } from '../built.ts';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();
for (const name of [
  'scale.abc',
  'scherzo.mid',
  'scores.txt',
  'sc\x1bale.abc',
  'monday.lesson',
  'ilse.return',
])
  writeFileSync(join(folder, name), '');

/** What is offered for the last of the words. */
async function offered(...words: string[]): Promise<string[]> {
  const { out, status } = await fettle(['complete', '--', ...words]);
  expect(status).toBe(0);
  return out
    .split('\n')
    .map((line) => line.split('\t')[0]!)
    .filter((line) => line !== '' && !line.startsWith(':'));
}

describe('completion', () => {
  it('offers what can stand there', async () => {
    expect(await offered('su')).toEqual(['survey']);
    expect(await offered('work', 'sli')).toEqual(['slipway']);
    expect(await offered('work', 'slipway', '--dr')).toEqual(['--drill']);
    expect(await offered('work', 'slipway', '--drill', '')).toEqual(DRILL_NAMES);
    expect(await offered('work', 'slipway', '--tolerance', 'c')).toEqual(['concert']);
    expect(await offered('set', 'instrument', 'alto-s')).toEqual(['alto-sax']);
    expect(await offered('drills', 'wid')).toEqual(['widening']);
    expect(await offered('help', 'cal')).toEqual(['calibrate']);
  });

  it('offers music files, and takes where a take belongs', async () => {
    expect(await offered('show', join(folder, 'sc'))).toEqual([
      join(folder, 'scale.abc'),
      join(folder, 'scherzo.mid'),
    ]);
    expect(await offered('judge', 'slipway', join(folder, 'sc'))).toEqual([join(folder, 'scherzo.mid')]);
  });

  it('offers what can be done with a lesson, and its files', async () => {
    const at = (start: string) => join(folder, start);
    expect(await offered('lesson', 're')).toEqual(['return', 'read']);
    expect(await offered('lesson', 'show', at('m'))).toEqual([at('monday.lesson')]);
    expect(await offered('lesson', 'read', at('i'))).toEqual([at('ilse.return')]);
    expect(await offered('lesson', 'read', 'a.return', at('il'))).toEqual([at('ilse.return')]);
    expect(await offered('lesson', 'new', at('new.lesson'), at('scale'))).toEqual([at('scale.abc')]);
    expect(await offered('lesson', 'add', 'monday.lesson', 'slipway', '--dr')).toEqual(['--drill']);
    expect(await offered('work', at('mon'))).toEqual([at('monday.lesson')]);
    expect(await offered('judge', at('mon'))).toEqual([]);
    expect(await offered('record', 'exp')).toEqual(['export']);
  });

  it('is known to every shell that it is for', async () => {
    for (const shell of ['bash', 'zsh', 'fish']) {
      const { out, status } = await fettle(`completion ${shell}`);
      expect(out).toContain('fettle complete --');
      expect(status).toBe(0);
    }
    expect((await fettle('completion tcsh')).err).toMatch(/it is none of bash, zsh, fish/);
  });

  it('works in bash', () => {
    const script = [
      `fettle() { "${process.execPath}" "${built('src/main.ts')}" "$@"; }`,
      'source <(fettle completion bash)',
      'COMP_WORDS=(fettle work sli); COMP_CWORD=2; COMP_LINE="fettle work sli"; COMP_POINT=15',
      'function=$(complete -p fettle | sed "s/.*-F \\([^ ]*\\) .*/\\1/")',
      '$function fettle sli work',
      'echo $COMPREPLY',
    ].join('\n');
    const out = execFileSync('bash', ['--norc', '-c', script], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
      env: { ...process.env, HOME: folder },
    });
    expect(out.trim()).toMatch(/^slipway\b/);
  });
});
