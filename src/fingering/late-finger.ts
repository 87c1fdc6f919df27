// Late fingers: a short unwanted note between two right ones sounds when only some of the fingers have moved. Which ones
// had, the table tells: every set of keys between the two fingerings is looked up (Almeida et al. 2009, JASA 126:1521,
// on the fingerings that a change goes through).

import type { Pitch } from '../music/pitch.ts';
import type { Digit } from './digit.ts';
import type { Fingering } from './fingering.ts';
import { type FingeringTable, keySet } from './table.ts';

/** The few digits that were apart from the others. */
export interface LateFingers {
  /** Moved after the others, or before them. */
  readonly way: 'late' | 'early';
  readonly digits: readonly Digit[];
}

/** Of more digits than this nobody can say that they were the ones apart. */
const MOST_APART = 3;

/**
 * Who was late, or early, between two fingerings when `heard` sounded; undefined when no set of keys between them gives
 * that note, or when several do that say different things. All on written pitch.
 */
export function lateFingers(
  table: FingeringTable,
  from: Fingering,
  to: Fingering,
  heard: Pitch,
): LateFingers | undefined {
  if (heard === from.pitch || heard === to.pitch) return undefined;
  const ways = digitWays(table, from, to);
  const fitting = explanations(table, ways, fixedKeys(from, to), heard);
  const fewest = Math.min(...fitting.map(({ digits }) => digits.length));
  const best = fitting.filter(({ digits }) => digits.length === fewest);
  const [first] = best;
  if (!first || fewest > MOST_APART) return undefined;
  return best.every((one) => words(one) === words(first)) ? first : undefined;
}

/** A digit that moves: its keys before, after, and, where it goes from key to key, in the air between. */
interface DigitWay {
  readonly digit: Digit;
  readonly states: readonly {
    readonly keys: readonly string[];
    readonly when: 'before' | 'between' | 'after';
  }[];
}

function digitWays({ digitOf }: FingeringTable, from: Fingering, to: Fingering): DigitWay[] {
  const moving = (keys: readonly string[], others: readonly string[], digit: Digit) =>
    keys.filter((key) => digitOf.get(key) === digit && !others.includes(key));
  const all = [...new Set([...from.keys, ...to.keys].map((key) => digitOf.get(key)!))];
  return all.flatMap((digit) => {
    const before = moving(from.keys, to.keys, digit);
    const after = moving(to.keys, from.keys, digit);
    if (before.length === 0 && after.length === 0) return [];
    const air = before.length > 0 && after.length > 0 ? [{ keys: [], when: 'between' as const }] : [];
    return [
      {
        digit,
        states: [{ keys: before, when: 'before' as const }, ...air, { keys: after, when: 'after' as const }],
      },
    ];
  });
}

function fixedKeys(from: Fingering, to: Fingering): string[] {
  return from.keys.filter((key) => to.keys.includes(key));
}

function explanations(
  table: FingeringTable,
  ways: readonly DigitWay[],
  fixed: readonly string[],
  heard: Pitch,
): LateFingers[] {
  const found: LateFingers[] = [];
  const walk = (at: number, keys: readonly string[], late: readonly Digit[], early: readonly Digit[]) => {
    const way = ways[at];
    if (way) {
      for (const state of way.states) {
        // In the air a finger has left and not arrived: late with the ones still to come, not early.
        const [l, e] = state.when === 'after' ? [late, [...early, way.digit]] : [[...late, way.digit], early];
        walk(at + 1, [...keys, ...state.keys], l, e);
      }
      return;
    }
    if (!table.sounding.get(keySet(keys))?.includes(heard)) return;
    if (late.length > 0 && late.length <= Math.max(1, early.length))
      found.push({ way: 'late', digits: late });
    else if (early.length > 0) found.push({ way: 'early', digits: early });
  };
  walk(0, fixed, [], []);
  return found;
}

function words({ way, digits }: LateFingers): string {
  return `${way} ${digits.toSorted().join()}`;
}
