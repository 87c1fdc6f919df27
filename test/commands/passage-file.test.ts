import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readPassageFile } from '../../src/commands/passage-file.ts';
import { ownFolder } from '../own-folder.ts';

const folder = ownFolder();

const tunes = 'X:1\nT:One\nL:1/4\nK:C\nC D|\n\nX:2\nT:Two\nL:1/4\nK:C\nE F|\n';
const plain = join(folder, 'a.abc');
const sharp = join(folder, 'a#2.abc');
writeFileSync(plain, tunes);
writeFileSync(sharp, tunes);

const title = async (argument: string) => (await readPassageFile(argument)).passage?.title;

describe('a passage on the command line', () => {
  it('is one tune of a file, by number or title', async () => {
    expect(await title(`${plain}#2`)).toBe('Two');
    expect(await title(`${plain}#Two`)).toBe('Two');
  });

  it('may be a file with a "#" in its name, and one tune of that', async () => {
    expect(await title(sharp)).toBe('One');
    expect(await title(`${sharp}#2`)).toBe('Two');
  });

  it('that is there and cannot be read is not taken for a slip of the pen', async () => {
    await expect(readPassageFile(folder)).rejects.toMatchObject({
      problem: {
        message: expect.stringContaining('it is a folder'),
        hint: expect.stringMatching(/^Bundled/),
      },
    });
  });

  it('that is not there is told by the name before the "#"', async () => {
    await expect(readPassageFile(join(folder, 'b.abc#2'))).rejects.toThrow(
      /Cannot open the passage "[^"]*b\.abc"/,
    );
  });
});
