// A score of many parts: whoever works on it is asked which is theirs.

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();

/** Our own bar, for so many of the Tidewrack Wind Band. */
function score(parts: number): string {
  const names = [
    'Flute',
    'Oboe',
    'Bassoon',
    'Tuba',
    'Bells',
    'Drone',
    'Harp',
    'Viola',
    'Cello',
    'Bass',
    'Viol',
    'Lute',
  ];
  const voices = Array.from({ length: parts }, (_, i) => `V:${i + 1} name="${names[i]}"`);
  const music = voices.map((_, i) => `V:${i + 1}\n${['C D E F', 'E F G A', 'G A B c'][i % 3]} |]`);
  const path = join(folder, `${parts}.abc`);
  writeFileSync(path, `X:1\nT:All\nM:4/4\nL:1/4\nQ:1/4=60\n${voices.join('\n')}\nK:C\n${music.join('\n')}\n`);
  return path;
}

const RUN = `--from model:exact --fast --plain --record ${join(folder, 'practice.db')}`;

describe('a score of twelve parts', () => {
  it('is worked, surveyed and judged by part: which is asked, and all are named', async () => {
    const twelve = score(12);
    for (const words of [
      `work ${twelve} ${RUN}`,
      `work ${twelve} --minutes 5 ${RUN}`,
      `survey ${twelve} ${RUN}`,
      `judge ${twelve} ${join(folder, 'take.mid')}`,
    ]) {
      const { status, err } = await fettle(words);
      expect(status, words).toBe(2);
      expect(err, words).toContain(`Cannot tell which part of ${twelve} is yours: it has 12`);
      expect(err, words).toContain('Name one, such as --part 1: 1 Flute, 2 Oboe, 3 Bassoon');
    }
  });

  it('is clean when its player has named the part', async () => {
    const { out } = await fettle(`work ${score(12)} --part 2 --drill through --passes 1 ${RUN}`);
    expect(out).toMatch(/\+ Clean\./);
    expect((await fettle(`work ${score(3)} --part all --drill through --passes 1 ${RUN}`)).out).toMatch(
      /\+ Clean\./,
    );
  });
});

describe('a score of two parts', () => {
  it('may be a keyboard written as two: nothing is asked', async () => {
    expect((await fettle(`work ${score(2)} --drill through --passes 1 ${RUN}`)).out).toMatch(/\+ Clean\./);
  });
});
