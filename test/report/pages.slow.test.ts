// The page as a browser shows it.

import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ownFolder } from '../own-folder.ts';
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
    const folder = ownFolder();

    it('stands without an error and without asking the network', () => {
      const file = join(folder, 'page.html');
      const net = join(folder, 'net.json');
      writeFileSync(file, page);
      const { stdout: shown, stderr } = spawnSync(
        chromium()!,
        [
          '--headless',
          '--no-sandbox',
          '--disable-gpu',
          '--enable-logging=stderr',
          '--log-level=0',
          '--virtual-time-budget=2000',
          `--log-net-log=${net}`,
          `--user-data-dir=${join(folder, 'profile')}`,
          '--dump-dom',
          `file://${file}`,
        ],
        { encoding: 'utf8' },
      );
      expect(shown).toContain('<h1>Reels &amp; &lt;ropes&gt;</h1>');
      expect(shown.match(/<svg /g)).toHaveLength(page.match(/<svg /g)!.length);
      // What a page has to complain of is told as a line of its console.
      expect(stderr).not.toContain('CONSOLE');
      // The browser's own errands go to its maker; a page's would carry its address as who asked.
      const asked = readFileSync(net, 'utf8').match(/"(?:initiator|network_isolation_key)":"[^"]*"/g) ?? [];
      expect(asked.filter((one) => one.includes('file:'))).toEqual([]);
    });
  },
);
