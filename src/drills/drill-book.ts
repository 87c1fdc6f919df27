// What the drill book says of a drill, as plain text.

import { DRILLS } from './catalogue.ts';
import type { Drill } from './drill.ts';

/** Two sentences on what it is and what it is for, then its variants, one a line: the plain word, then the trade's. */
export function explain(drill: Drill): string {
  const variants = Object.entries(drill.variants).map(([name, meaning]) => {
    const plain = drill.plainVariants?.[name];
    return [plain === undefined ? name : `${plain}, ${name}`, meaning] as const;
  });
  const width = Math.max(0, ...variants.map(([name]) => name.length));
  const lines = variants.map(([name, meaning]) => `  ${name.padEnd(width)}  ${meaning}`);
  return [drill.name, '', drill.explanation, ...(lines.length > 0 ? ['', 'Variants:', ...lines] : [])].join(
    '\n',
  );
}

/** All drills, one a line, with the first sentence of each. */
export function drillList(): string {
  const width = Math.max(...DRILLS.map((drill) => drill.name.length));
  return DRILLS.map((drill) => `${drill.name.padEnd(width)}  ${firstSentence(drill.explanation)}`).join('\n');
}

function firstSentence(text: string): string {
  return /^.*?[.](?= |$)/.exec(text)?.[0] ?? text;
}
