// A page as one SVG picture, without a script and with nothing to fetch.

import { escapeXml } from '../notation/musicxml/xml-text.ts';
import type { Page, PageItem } from './page.ts';

export function svgPage(page: Page): string {
  const { widthPt, heightPt } = page;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="${widthPt}pt" height="${heightPt}pt" viewBox="0 0 ${widthPt} ${heightPt}" font-family="DejaVu Serif, serif">`,
    `<rect width="${widthPt}" height="${heightPt}" fill="white"/>`,
    ...page.items.map(itemSvg),
    '</svg>',
    '',
  ].join('\n');
}

function itemSvg(item: PageItem): string {
  switch (item.kind) {
    case 'text': {
      const anchor = item.align === 'right' ? ' text-anchor="end"' : '';
      const weight = item.bold ? ' font-weight="bold"' : '';
      return `<text x="${item.x}" y="${item.y}" font-size="${item.sizePt}"${anchor}${weight}>${escapeXml(item.text)}</text>`;
    }
    case 'box':
      return `<rect x="${item.x}" y="${item.y}" width="${item.sizePt}" height="${item.sizePt}" fill="none" stroke="black" stroke-width="0.7"/>`;
    case 'system': {
      const { svg, widthPt, heightPt } = item.system;
      return svg.replace(
        /<svg /,
        `<svg x="${item.x}" y="${item.y}" width="${widthPt}" height="${heightPt}" `,
      );
    }
  }
}
