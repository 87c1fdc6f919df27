// How many takes with a planted fault are called clean, and how many without one are not.

import { Random } from '../../src/simulation/random.ts';
import { BUNDLED_FILES, bundledPassage } from '../notation/bundled.ts';
import { FAULTS, type Fault, faultyTake, stepsOf } from './planted-faults.ts';

export interface Census {
  readonly fault: Fault | 'none';
  readonly takes: number;
  /** Those that were judged wrongly, one line each. */
  readonly wrong: readonly string[];
}

/** Passages of one or two parts: of more a part is chosen first. */
const MOST_PARTS = 2;

export async function censusOf(takes: number, sound: number, seed: number): Promise<Census[]> {
  const all = await Promise.all(BUNDLED_FILES.map((file) => bundledPassage(file)));
  const passages = all.filter(({ parts }) => parts.length <= MOST_PARTS);
  const steps = stepsOf(passages, new Random(seed, 0), 500);
  return [...FAULTS, 'none' as const].map((fault, f) => {
    const wrong: string[] = [];
    let made = 0;
    const wanted = fault === 'none' ? sound : takes / FAULTS.length;
    for (let i = 0; made < wanted && i < 20 * wanted; i++) {
      const take = faultyTake(steps, fault, new Random(seed + i, f + 1));
      if (!take) continue;
      made++;
      if (take.clean !== (fault === 'none')) {
        wrong.push(`${fault} ${i}: ${take.drill} "${take.step}" of ${take.passage}: ${take.said}`);
      }
    }
    return { fault, takes: made, wrong };
  });
}
