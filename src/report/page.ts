// A page that stands alone: no script, nothing to fetch, light and dark, prints on A4 and letter.

import { escapeXml } from '../notation/musicxml/xml-text.ts';

export interface PageSection {
  readonly heading: string;
  readonly paragraphs?: readonly string[];
  /** A picture as an SVG element, with the table of what it shows behind it. */
  readonly plot?: { readonly svg: string; readonly table: Table };
  readonly table?: Table;
}

export interface Table {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

const STYLE = `
:root { color-scheme: light dark; --ink: #1b1f23; --dim: #5b6570; --paper: #ffffff; --line: #c9d1d9; --mark: #0b6b57; --other: #9a4a00; --band: #cfe6df; }
@media (prefers-color-scheme: dark) { :root { --ink: #e6eaee; --dim: #a3adb8; --paper: #14181c; --line: #3a444e; --mark: #58c6ad; --other: #f0a35e; --band: #1f3d36; } }
@media print { :root { color-scheme: light; --ink: #000; --dim: #444; --paper: #fff; --line: #bbb; --mark: #0b6b57; --other: #9a4a00; --band: #dcebe6; } details { display: none; } section { break-inside: avoid; } }
body { font: 16px/1.5 Georgia, 'DejaVu Serif', serif; color: var(--ink); background: var(--paper); max-width: 46rem; margin: 2rem auto; padding: 0 1rem; }
h1 { font-size: 1.6rem; margin-bottom: 0; } h2 { font-size: 1.15rem; margin-top: 2rem; } p.dim, figcaption { color: var(--dim); font-size: 0.9rem; }
figure { margin: 0.5rem 0; overflow-x: auto; } svg { width: 100%; height: auto; min-width: 32rem; } svg text { fill: var(--ink); font: 12px Georgia, 'DejaVu Serif', serif; }
table { border-collapse: collapse; font-size: 0.9rem; } th, td { text-align: left; padding: 0.15rem 0.8rem 0.15rem 0; border-bottom: 1px solid var(--line); }
`;

export function htmlPage(
  head: { readonly title: string; readonly subtitle: string; readonly foot: string },
  sections: readonly PageSection[],
): string {
  const { title, subtitle, foot } = head;
  return [
    '<!doctype html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8">',
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${escapeXml(title)}</title>`,
    `<style>${STYLE}</style>`,
    '</head>',
    '<body>',
    `<h1>${escapeXml(title)}</h1>`,
    `<p class="dim">${escapeXml(subtitle)}</p>`,
    ...sections.map(sectionHtml),
    `<p class="dim">${escapeXml(foot)}</p>`,
    '</body>',
    '</html>',
    '',
  ].join('\n');
}

function sectionHtml({ heading, paragraphs = [], plot, table }: PageSection): string {
  return [
    '<section>',
    `<h2>${escapeXml(heading)}</h2>`,
    ...paragraphs.map((text) => `<p>${escapeXml(text)}</p>`),
    ...(plot
      ? [
          `<figure>${plot.svg}</figure>`,
          `<details><summary>The figures</summary>${tableHtml(plot.table)}</details>`,
        ]
      : []),
    ...(table ? [tableHtml(table)] : []),
    '</section>',
  ].join('\n');
}

function tableHtml({ columns, rows }: Table): string {
  const cells = (tag: 'th' | 'td', texts: readonly string[]) =>
    `<tr>${texts.map((text) => `<${tag}>${escapeXml(text)}</${tag}>`).join('')}</tr>`;
  return `<table><thead>${cells('th', columns)}</thead><tbody>${rows.map((row) => cells('td', row)).join('')}</tbody></table>`;
}
