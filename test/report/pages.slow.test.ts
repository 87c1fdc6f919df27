// The page as a browser shows it.

import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { page } from './made-page.ts';

/** Debian's chromium, where it is installed; .ci/run installs it. */
function chromium(): string | undefined {
  try {
    return execFileSync('sh', ['-c', 'command -v chromium'], { encoding: 'utf8' }).trim();
  } catch {
    return undefined;
  }
}

describe.skipIf(chromium() === undefined)(
  'in a real browser (skipped where chromium is not installed)',
  () => {
    it('stands without an error and without asking the network', () => {
      const folder = mkdtempSync(join(tmpdir(), 'fettle-page-'));
      const file = join(folder, 'page.html');
      writeFileSync(file, page);
      const shown = execFileSync(
        chromium()!,
        [
          '--headless',
          '--no-sandbox',
          '--disable-gpu',
          '--enable-logging=stderr',
          '--log-level=0',
          '--virtual-time-budget=2000',
          '--dump-dom',
          `file://${file}`,
        ],
        { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] },
      );
      rmSync(folder, { recursive: true, force: true });
      expect(shown).toContain('<h1>Reels &amp; &lt;ropes&gt;</h1>');
      expect(shown.match(/<svg /g)).toHaveLength(page.match(/<svg /g)!.length);
    });
  },
);
