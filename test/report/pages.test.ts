import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { outlookOf } from '../../src/coaching/outlook.ts';
import { progressOf, returnDays } from '../../src/coaching/progress.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { overviewPage, passagePage } from '../../src/report/progress-page.ts';
import { line } from '../drills/line.ts';
import { MONTH_FIRST, madeMonth } from './made-month.ts';

const span = wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5'));
const takes = madeMonth(5);
const range = { first: 1, last: 8 };
const progress = progressOf(takes, range);
const goal = { passage: 'harbour-reel', ...range, tempoBpm: 96, by: '2026-12-06' };
const outlook = outlookOf(progress, returnDays(takes), goal, MONTH_FIRST + 30);
const names = { title: 'Reels & <ropes>', interval: (from: number) => `onset ${from} to ${from + 1}` };
const page = passagePage({ span, range, takes, progress, outlook, names });

describe('the page of a passage', () => {
  it('fetches nothing, runs no script and keeps names safe', () => {
    expect(page).not.toMatch(/<script|<link|<img|@import|url\(|https?:\/\/(?!www\.w3\.org)/);
    expect(page).toContain('Reels &amp; &lt;ropes&gt;');
    expect(page).not.toContain('<ropes>');
  });

  it('has a text and a table behind every picture, with the record\u2019s figures', () => {
    const pictures = page.match(/<svg /g)!.length;
    expect(page.match(/role="img" aria-label="[^"]{10,}"/g)).toHaveLength(pictures);
    expect(page.match(/<details>/g)).toHaveLength(pictures);
    expect(page).toContain(`${Math.round(100 * progress.cleanShare!)} % of the complete takes were clean`);
    for (const { inPiecesBpm } of progress.days) {
      if (inPiecesBpm !== undefined) expect(page).toContain(`<td>${Math.round(inPiecesBpm)}</td>`);
    }
    expect(page).toContain('The way it goes, ');
    for (const picture of page.match(/<svg [\s\S]*?<\/svg>/g)!)
      expect(picture).not.toMatch(/NaN|undefined|Infinity/);
  });

  it('says so where there is nothing yet', () => {
    const none = progressOf([], range);
    const empty = passagePage({
      span,
      range,
      takes: [],
      progress: none,
      outlook: outlookOf(none, [], undefined, MONTH_FIRST),
      names,
    });
    expect(empty).toContain('Nothing has been played yet.');
    expect(empty).not.toMatch(/NaN|undefined|Infinity/);
  });

  it('lists all passages', () => {
    const all = overviewPage([{ passage: 'harbour-reel', progress, dueDay: MONTH_FIRST + 31 }], 'Practice');
    expect(all).toContain('<td>harbour-reel</td>');
    expect(all).toContain(`<td>${progress.takes}</td>`);
  });
});

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
