// How long a drill over 1,000 onsets takes to make: npx tsx test/bench/drills.ts
// Budget: 50 ms. "made" is what makeSteps returns; "written out" is every onset of every step looked at, which for
// switchback is a million notes that a player meets one lap at a time.

import { DRILLS } from '../../src/drills/catalogue.ts';
import type { DrillSettings } from '../../src/drills/drill.ts';
import type { Step } from '../../src/drills/step.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { line } from '../drills/line.ts';

const ONSETS = 1000;
const BUDGET_MS = 50;
const RUNS = 15;

const SETTINGS: readonly (readonly [drill: string, what: string, settings: Partial<DrillSettings>])[] = [
  ['landings', 'every beat', {}],
  ['landings', 'every half beat', { every: 0.5 }],
  ['landings', 'growing', { every: 'growing' }],
  ['switchback', 'lap by lap', {}],
  ['switchback', 'in one go', { variants: ['in-one-go'] }],
  ['switchback', 'inverted, with a click', { variants: ['chromatic-inversion', 'with-click'] }],
  ['widening', 'from the middle', { snags: [500] }],
  ['widening', 'from the edge', { snags: [1] }],
  ['tenuto', 'in the middle', { snags: [500] }],
  ['rhythms', 'pairs and fours', {}],
  ['chain', 'by beats', {}],
  ['chain', 'by half beats, from the end', { every: 0.5, variants: ['from-end'] }],
  ['through', '', {}],
];

export function benchDrills(): void {
  const names = ['C4', 'D4', 'E4', 'F4', 'G4', 'A4', 'G4', 'F4', 'E4', 'D4'];
  const text = Array.from({ length: ONSETS }, (_, i) => names[i % names.length]!).join(' ');
  const span = wholeSpan(line(text, { unitTicks: 2520 }));
  console.log(`drills over ${ONSETS} onsets, ms: median and worst of ${RUNS}; budget ${BUDGET_MS}`);
  for (const [name, what, settings] of SETTINGS) {
    const drill = DRILLS.find((one) => one.name === name)!;
    const made: number[] = [];
    const written: number[] = [];
    let notes = 0;
    for (let run = 0; run < RUNS; run++) {
      const start = performance.now();
      const result = drill.makeSteps(span, { tempo: span.passage.tempo, ...settings });
      const middle = performance.now();
      if (!result.ok) throw new Error(result.problem.message);
      notes = countNotes(result.value);
      made.push(middle - start);
      written.push(performance.now() - start);
    }
    const over = median(made) > BUDGET_MS ? '  OVER BUDGET' : '';
    console.log(
      `${`${name} ${what}`.padEnd(40)} made ${figures(made)}  written out ${figures(written)}  ${notes} notes${over}`,
    );
  }
}

function countNotes(steps: readonly Step[]): number {
  return steps.reduce((sum, step) => sum + step.lines[0]!.onsets.length, 0);
}

function median(times: readonly number[]): number {
  return times.toSorted((a, b) => a - b)[times.length >> 1]!;
}

function figures(times: readonly number[]): string {
  return `${median(times).toFixed(1).padStart(6)} ${Math.max(...times)
    .toFixed(1)
    .padStart(6)}`;
}

if (import.meta.url === new URL(process.argv[1] ?? '', 'file:').href) benchDrills();
