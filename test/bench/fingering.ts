// How long the fingerings of a long passage take: npx tsx test/bench/fingering.ts
// Budget: 50 ms for 5,000 notes, with decisions, slides and demands.

import { passagePlan } from '../../src/fingering/passage-plan.ts';
import { FINGERED, fingeringTable } from '../../src/fingering/table.ts';
import { spellingName, spellPitch } from '../../src/music/pitch.ts';
import { line } from '../drills/line.ts';

const NOTES = 5000;
const BUDGET_MS = 50;
const RUNS = 15;

export function benchFingering(): void {
  console.log(
    `fingerings of ${NOTES} notes, ms of the processor: median and worst of ${RUNS}; budget ${BUDGET_MS}`,
  );
  for (const instrument of FINGERED) {
    // Every note of the table in a fixed disorder: more alternates than any music has.
    const pitches = [...fingeringTable(instrument)!.ofPitch.keys()];
    const text = Array.from({ length: NOTES }, (_, i) =>
      spellingName(spellPitch(pitches[(i * 7 + ((i * i) % 5)) % pitches.length]!)),
    ).join(' ');
    const passage = line(text, { instrument, unitTicks: 2520 });
    const taken = Array.from({ length: RUNS }, () => {
      // Processor time: other programs on the machine do not count.
      const begun = process.cpuUsage();
      if (!passagePlan(passage).ok) throw new Error('no plan');
      const { user, system } = process.cpuUsage(begun);
      return (user + system) / 1000;
    }).sort((a, b) => a - b);
    const over = taken[RUNS >> 1]! > BUDGET_MS ? '  OVER' : '';
    console.log(
      `  ${instrument.padEnd(14)} ${taken[RUNS >> 1]!.toFixed(1).padStart(6)} ${taken.at(-1)!.toFixed(1).padStart(6)}${over}`,
    );
  }
}
