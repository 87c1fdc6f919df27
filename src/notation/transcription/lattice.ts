// The rhythm as a whole, once it is known where the beats are: a chain of beats, each with its rhythms; the likeliest
// chain (Viterbi 1967) and how sure each strike's place is (forward-backward, Rabiner 1989, Proc. IEEE 77:257).

import type { BeatRhythm } from './beat.ts';
import { COLLISION_COST, FAMILY_CHANGE_COST } from './pace.ts';

export interface LatticeBeat {
  readonly beat: number;
  readonly rhythms: readonly BeatRhythm[];
}

export interface LatticeChoice {
  /** By beat: the rhythm of the likeliest chain. */
  readonly rhythms: readonly BeatRhythm[];
  /** By beat: how probable each of its rhythms is, all chains considered. */
  readonly probabilities: readonly (readonly number[])[];
}

type Family = BeatRhythm['family'];

interface Node {
  readonly rhythm: BeatRhythm;
  readonly index: number;
  /** The family of the last beat that had one: silent and plain beats do not change it. */
  readonly family: Family;
  readonly forward: number;
  readonly viterbi: number;
  readonly before?: Node;
}

const FAMILIES: readonly Family[] = ['none', 'duple', 'triple'];

export function chooseRhythms(beats: readonly LatticeBeat[]): LatticeChoice {
  const layers: Node[][] = [];
  for (const [i, { beat, rhythms }] of beats.entries()) {
    const previous = layers.at(-1);
    // Beats between that are silent carry nothing over.
    const adjacent = i > 0 && beats[i - 1]!.beat === beat - 1;
    const layer: Node[] = [];
    rhythms.forEach((rhythm, index) => {
      if (!previous) {
        const cost = rhythm.timingCost + rhythm.rhythmCost;
        layer.push({ rhythm, index, family: rhythm.family, forward: cost, viterbi: cost });
        return;
      }
      for (const family of FAMILIES) {
        const arriving = previous.flatMap((node) => {
          const cost = stepCost(node, rhythm, adjacent);
          return familyAfter(node.family, rhythm) === family ? [{ node, cost }] : [];
        });
        if (arriving.length === 0) continue;
        let best = arriving[0]!;
        for (const a of arriving) if (a.node.viterbi + a.cost < best.node.viterbi + best.cost) best = a;
        layer.push({
          rhythm,
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
  return { rhythms: likeliest(layers), probabilities: probabilitiesOf(layers, beats) };
}

function stepCost(from: Node, to: BeatRhythm, adjacent: boolean): number {
  const carried = adjacent && from.rhythm.carries;
  const change =
    to.family !== 'none' && from.family !== 'none' && to.family !== from.family ? FAMILY_CHANGE_COST : 0;
  const collision = carried && to.takesStart ? COLLISION_COST : 0;
  return to.timingCost + (carried ? to.rhythmCostCarried : to.rhythmCost) + change + collision;
}

function familyAfter(before: Family, rhythm: BeatRhythm): Family {
  return rhythm.family === 'none' ? before : rhythm.family;
}

function likeliest(layers: readonly Node[][]): BeatRhythm[] {
  const rhythms: BeatRhythm[] = [];
  const last = layers.at(-1) ?? [];
  let node: Node | undefined = last.reduce<Node | undefined>(
    (best, n) => (best === undefined || n.viterbi < best.viterbi ? n : best),
    undefined,
  );
  while (node) {
    rhythms.push(node.rhythm);
    node = node.before;
  }
  return rhythms.reverse();
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
            const cost = stepCost(node, to.rhythm, adjacent);
            return familyAfter(node.family, to.rhythm) === to.family ? [cost + after[j]!] : [];
          }),
        ),
      );
    }
    const costs = layer.map((node, j) => node.forward + backward[j]!);
    const all = softMinimum(costs);
    const here = new Array<number>(beats[i]!.rhythms.length).fill(0);
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
