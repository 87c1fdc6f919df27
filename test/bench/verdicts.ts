// `npm run bench:verdicts [-- TAKES]`: takes with one planted cause each and what they were called. The table stands in
// src/take/README.md.

import { confusionOf, confusionTable } from '../take/cause-confusion.ts';

const takes = Number(process.argv[2] ?? 1000);

console.log(`${takes} takes for each cause, sizes 1 to 4 times the tolerance, fingers 5 to 15 ms:`);
const confusions = confusionOf(takes, 10_000);
console.log(confusionTable(confusions));
for (const { cause, opposite } of confusions) {
  console.log(`${cause}: the opposite advice ${opposite.length} times`);
  for (const one of opposite) console.log(`  ${one}`);
}
