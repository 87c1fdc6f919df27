import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { fettle } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'fettle-sheet-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

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
