// `npm run bench:verdicts [-- TAKES]`: takes with one planted cause each and what they were called (the table stands in
// src/matching/README.md), then ten times as many with a planted fault in every drill, and half of that with none;
// then slips on the click, and what they were called; then ornaments, rightly played.

import { Random } from '../../src/simulation/random.ts';
import { confusionOf, confusionTable } from '../take/cause-confusion.ts';
import { censusOf } from '../take/fault-census.ts';
import { ornamentRates } from '../take/ornamented-takes.ts';
import { slipCensus } from '../take/slip-census.ts';

const takes = Number(process.argv[2] ?? 1000);

console.log(`${takes} takes for each cause, sizes 1 to 4 times the tolerance, fingers 5 to 15 ms:`);
const confusions = confusionOf(takes, 10_000);
console.log(confusionTable(confusions));
for (const { cause, opposite } of confusions) {
  console.log(`${cause}: the opposite advice ${opposite.length} times`);
  for (const one of opposite) console.log(`  ${one}`);
}

for (const { fault, takes: made, wrong } of await censusOf(10 * takes, 5 * takes, 20_000)) {
  const what = fault === 'none' ? 'within half of the tolerance, called not clean' : `${fault}, called clean`;
  console.log(`${what}: ${wrong.length} of ${made}`);
  for (const one of wrong.slice(0, 20)) console.log(`  ${one}`);
}

for (const { slip, takes: made, wrong } of await slipCensus(takes, 40_000)) {
  console.log(`a note ${slip} on the click, told as something else: ${wrong.length} of ${made}`);
  for (const one of wrong.slice(0, 20)) console.log(`  ${one}`);
}

const ornaments = await ornamentRates(takes / 10, (seed) => new Random(seed, 77));
const refused = ornaments.flatMap((rate) => rate.refused);
const made = ornaments.reduce((sum, rate) => sum + rate.takes, 0);
console.log(`ornaments rightly played, called not clean: ${refused.length} of ${made}`);
for (const { what, said, abc, played } of refused) console.log(`  ${what}: ${said}\n${abc}${played}`);
