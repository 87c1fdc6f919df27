// `npm run bench`: timings against their budgets. Words after `--` choose some: npm run bench -- session drills

import { benchDrills } from './drills.ts';
import { benchFingering } from './fingering.ts';
import { benchLesson } from './lesson.ts';
import { benchNotation } from './notation.ts';
import { benchSection } from './section.ts';
import { benchSession } from './session.ts';
import { benchSheet } from './sheet.ts';

const BENCHES: Readonly<Record<string, () => unknown>> = {
  session: benchSession,
  section: benchSection,
  drills: benchDrills,
  fingering: benchFingering,
  notation: benchNotation,
  lesson: benchLesson,
  sheet: benchSheet,
  // These two run when they are loaded.
  'midi-files': () => import('./midi-files.ts'),
  matching: () => import('./matching.ts'),
};

const asked = process.argv.slice(2);
for (const [name, bench] of Object.entries(BENCHES)) {
  if (asked.length === 0 || asked.includes(name)) await bench();
}
