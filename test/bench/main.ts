// `npm run bench`: timings against their budgets. Words after `--` choose some: npm run bench -- session drills

import { benchDrills } from './drills.ts';
import { benchSession } from './session.ts';

const BENCHES: Readonly<Record<string, () => void | Promise<void>>> = {
  session: benchSession,
  drills: benchDrills,
};

const asked = process.argv.slice(2);
for (const [name, bench] of Object.entries(BENCHES)) {
  if (asked.length === 0 || asked.includes(name)) await bench();
}
