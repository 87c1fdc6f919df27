// Nothing that is to be played is left out of the listings: chords and grace notes, where they stand together too.

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();
const file = join(folder, 'odd.abc');
beforeAll(() =>
  writeFileSync(file, 'X:1\nT:Odd corners\nM:4/4\nL:1/4\nQ:1/4=90\nK:G\n{^c}d [GBdg] {g}[Bdg] a | b4 |]\n'),
);

describe('chords and grace notes', () => {
  it('are whole in the steps', async () => {
    const { out } = await fettle(['steps', file]);
    expect(
      out
        .split('\n')
        .slice(2, 9)
        .filter((_, i) => i % 2 === 0)
        .map((line) => line.trim()),
    ).toEqual([
      'c#5-D5 [G4+B4+D5+G5] hold 2',
      'G4+B4+D5+G5 [g5-B4+D5+G5] hold 2',
      'g5-B4+D5+G5 [A5] hold 2',
      'A5 [B5] hold 2',
    ]);
  });

  it('are whole in the listing; a grace note gives way to a main note on its own row', async () => {
    const { out } = await fettle(['show', file]);
    const notes = out
      .split('\n')
      .filter((line) => /[A-Ga-g]#?\d/.test(line) && !/^bars|^beat|^onset/.test(line));
    const names = notes.join(' ').match(/[A-Ga-g]#?\d/g)!;
    const count = (name: string) => names.filter((one) => one === name).length;
    expect([count('c#5'), count('g5'), count('G5'), count('B4'), count('D5'), count('G4')]).toEqual([
      1, 0, 2, 2, 3, 1,
    ]);
  });
});
