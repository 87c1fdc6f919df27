import { describe, expect, it } from 'vitest';
import { outlookOf } from '../../src/coaching/outlook.ts';
import { progressOf } from '../../src/coaching/progress.ts';
import { overviewPage, passagePage } from '../../src/report/progress-page.ts';
import { MONTH_FIRST } from './made-month.ts';
import { names, page, progress, range, span } from './made-page.ts';

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
    const none = progressOf([], [], range);
    const empty = passagePage({
      span,
      range,
      judged: [],
      progress: none,
      outlook: outlookOf(none, [], undefined, MONTH_FIRST),
      names,
    });
    expect(empty).toContain('Nothing has been played yet.');
    expect(empty).not.toMatch(/NaN|undefined|Infinity/);
  });

  it('lists all passages', () => {
    const all = overviewPage(
      [{ passage: 'harbour-reel', ...progress, dueDay: MONTH_FIRST + 31 }],
      'Practice',
    );
    expect(all).toContain('<td>harbour-reel</td>');
    expect(all).toContain(`<td>${progress.takes}</td>`);
  });
});
