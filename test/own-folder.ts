// A temporary folder of a test file's own.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';

/** Called where tests are declared: the folder is removed when those of this file, or of this `describe`, are over. */
export function ownFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'fettle-test-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}
