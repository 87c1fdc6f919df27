// `fettle drills [NAME]`: the drill book.

import { findDrill } from '../drills/catalogue.ts';
import { drillList, explain } from '../drills/drill-book.ts';
import { wrap } from '../screen/canvas.ts';
import { print } from './print.ts';
import { need } from './usage-problem.ts';

export function drillBook(name?: string): void {
  const text = name === undefined ? drillList() : explain(need(findDrill(name)));
  for (const line of text.split('\n')) print(line.startsWith(' ') ? line : wrap(line, 78).join('\n'));
}
