// The rhythm as a whole, once it is known where the beats are: a chain of beats, each with its readings; the likeliest
// chain (Viterbi 1967) and how sure each strike's place is (forward-backward, Rabiner 1989, Proc. IEEE 77:257).

import type { BeatReading } from './beat.ts';
import { COLLISION_COST, FAMILY_CHANGE_COST } from './pace.ts';

export interface LatticeBeat {
  readonly beat: number;
  readonly readings: readonly BeatReading[];
}

export interface LatticeChoice {
  /** By beat: the reading of the likeliest chain. */
  readonly readings: readonly BeatReading[];
  /** By beat: how probable each of its readings is, all chains considered. */
  readonly probabilities: readonly (readonly number[])[];
}

type Family = BeatReading['family'];

interface Node {
  readonly reading: BeatReading;
  readonly index: number;
  /** The last family heard up to here: silent beats and plain ones pass it on. */
  readonly family: Family;
  readonly forward: number;
  readonly viterbi: number;
  readonly before?: Node;
}

const FAMILIES: readonly Family[] = ['none', 'duple', 'triple'];

export function chooseReadings(beats: readonly LatticeBeat[]): LatticeChoice {
  const layers: Node[][] = [];
  for (const [i, { beat, readings }] of beats.entries()) {
    const previous = layers.at(-1);
    // Beats between that are silent carry nothing over.
    const adjacent = i > 0 && beats[i - 1]!.beat === beat - 1;
    const layer: Node[] = [];
    readings.forEach((reading, index) => {
      if (!previous) {
        const cost = reading.timingCost + reading.rhythmCost;
        layer.push({ reading, index, family: reading.family, forward: cost, viterbi: cost });
        return;
      }
      for (const family of FAMILIES) {
        const arriving = previous.flatMap((node) => {
          const cost = stepCost(node, reading, adjacent);
          return familyAfter(node.family, reading) === family ? [{ node, cost }] : [];
        });
        if (arriving.length === 0) continue;
        let best = arriving[0]!;
        for (const a of arriving) if (a.node.viterbi + a.cost < best.node.viterbi + best.cost) best = a;
        layer.push({
          reading,
          index,
          family,
          forward: softMinimum(arriving.map((a) => a.node.forward + a.cost)),
          viterbi: best.node.viterbi + best.cost,
          before: best.node,
        });
      }
    });
    layers.push(layer);
  }
  return { readings: likeliest(layers), probabilities: probabilitiesOf(layers, beats) };
}

function stepCost(from: Node, to: BeatReading, adjacent: boolean): number {
  const carried = adjacent && from.reading.carries;
  const change =
    to.family !== 'none' && from.family !== 'none' && to.family !== from.family ? FAMILY_CHANGE_COST : 0;
  const collision = carried && to.takesStart ? COLLISION_COST : 0;
  return to.timingCost + (carried ? to.rhythmCostCarried : to.rhythmCost) + change + collision;
}

function familyAfter(before: Family, reading: BeatReading): Family {
  return reading.family === 'none' ? before : reading.family;
}

function likeliest(layers: readonly Node[][]): BeatReading[] {
  const readings: BeatReading[] = [];
  const last = layers.at(-1) ?? [];
  let node: Node | undefined = last.reduce<Node | undefined>(
    (best, n) => (best === undefined || n.viterbi < best.viterbi ? n : best),
    undefined,
  );
  while (node) {
    readings.push(node.reading);
    node = node.before;
  }
  return readings.reverse();
}

function probabilitiesOf(layers: readonly Node[][], beats: readonly LatticeBeat[]): number[][] {
  const probabilities: number[][] = new Array(layers.length);
  let backward: number[] = (layers.at(-1) ?? []).map(() => 0);
  for (let i = layers.length - 1; i >= 0; i--) {
    const layer = layers[i]!;
    if (i < layers.length - 1) {
      const next = layers[i + 1]!;
      const adjacent = beats[i + 1]!.beat === beats[i]!.beat + 1;
      const after = backward;
      backward = layer.map((node) =>
        softMinimum(
          next.flatMap((to, j) => {
            const cost = stepCost(node, to.reading, adjacent);
            return familyAfter(node.family, to.reading) === to.family ? [cost + after[j]!] : [];
          }),
        ),
      );
    }
    const costs = layer.map((node, j) => node.forward + backward[j]!);
    const all = softMinimum(costs);
    const here = new Array<number>(beats[i]!.readings.length).fill(0);
    layer.forEach((node, j) => {
      here[node.index]! += Math.exp(all - costs[j]!);
    });
    probabilities[i] = here;
  }
  return probabilities;
}

/** -log of the sum of probabilities whose -log are given. */
function softMinimum(costs: readonly number[]): number {
  let least = Number.POSITIVE_INFINITY;
  for (const cost of costs) least = Math.min(least, cost);
  if (!Number.isFinite(least)) return least;
  let sum = 0;
  for (const cost of costs) sum += Math.exp(least - cost);
  return least - Math.log(sum);
}
