import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();

it('writes over no page of a sheet unasked, and then writes none of them', async () => {
  const [first, second] = ['sheet.svg', 'sheet-2.svg'].map((name) => join(folder, name)) as [string, string];
  writeFileSync(second, 'mine');
  const words = ['sheet', 'slipway', '--bars', '1-2', '--out', first];
  const refused = await fettle(words);
  expect([refused.status, refused.err]).toEqual([2, expect.stringContaining(`Cannot write "${second}"`)]);
  expect(readFileSync(second, 'utf8')).toBe('mine');
  expect(existsSync(first)).toBe(false);
  expect((await fettle([...words, '--force'])).status).toBe(0);
  for (const page of [first, second]) expect(readFileSync(page, 'utf8')).toContain('<svg');
});
