// What every plot has: a frame with room for its axes, and a text that says what is to be seen.

import { escapeXml } from '../notation/musicxml/xml-text.ts';

export const PLOT = { width: 720, height: 260, left: 52, right: 16, top: 16, bottom: 36 } as const;

/** `label` is read out where the picture is not seen. */
export function plotSvg(label: string, inside: readonly string[], height: number = PLOT.height): string {
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${PLOT.width} ${height}" role="img" aria-label="${escapeXml(label)}"><title>${escapeXml(label)}</title>${inside.join('')}</svg>`;
}

export function text(
  x: number,
  y: number,
  words: string,
  anchor: 'start' | 'middle' | 'end' = 'start',
): string {
  return `<text x="${round(x)}" y="${round(y)}" text-anchor="${anchor}">${escapeXml(words)}</text>`;
}

export function line(
  from: readonly [x: number, y: number],
  to: readonly [x: number, y: number],
  more = 'stroke="var(--line)"',
): string {
  return `<line x1="${round(from[0])}" y1="${round(from[1])}" x2="${round(to[0])}" y2="${round(to[1])}" ${more}/>`;
}

export function round(value: number): number {
  return Math.round(value * 100) / 100;
}
