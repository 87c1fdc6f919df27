// Long lines broken between words where a terminal would break them anywhere.

import { wrap } from '../screen/canvas.ts';
import { textWidth } from '../wording/text-width.ts';

/** Lines that are too long broken between words, as deep as they begin. */
export function folded(text: string, columns: number): string {
  const lines = text.split('\n').flatMap((line) => {
    if (textWidth(line) <= columns) return line;
    const [indent = ''] = /^ */.exec(line) ?? [];
    return wrap(line.slice(indent.length), columns - indent.length).map((part) => indent + part);
  });
  return lines.join('\n');
}
