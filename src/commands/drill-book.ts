// `fettle drills [NAME]`: the drill book.

import { DRILLS, findDrill } from '../drills/catalogue.ts';
import { wrap } from '../screen/canvas.ts';
import { need } from './passage-argument.ts';

export function drillBook(name?: string): void {
  const shown = name === undefined ? DRILLS : [need(findDrill(name))];
  for (const drill of shown) {
    console.log(drill.name);
    for (const line of wrap(drill.explanation, 76)) console.log(`    ${line}`);
    for (const [variant, meaning] of Object.entries(drill.variants))
      console.log(`    --variant ${variant}: ${meaning}`);
    console.log('');
  }
}
