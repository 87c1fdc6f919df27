// What the fingers do between two fingerings.

import { type Digit, handOf } from './digit.ts';
import type { Fingering } from './fingering.ts';
import type { FingeringTable } from './table.ts';

/** A digit that goes from one key to another without being lifted for good. */
export interface Shift {
  readonly digit: Digit;
  readonly from: string;
  readonly to: string;
  /** `roll`: the keys touch, and the finger turns. `rollers`: over rollers. `leap`: it leaves one key for the other. */
  readonly kind: 'roll' | 'rollers' | 'leap';
}

export interface FingerChange {
  /** Every digit that does something, once. */
  readonly moved: readonly Digit[];
  /** Go down, or take a key more. */
  readonly pressed: readonly Digit[];
  /** Come up, or leave a key. */
  readonly lifted: readonly Digit[];
  readonly shifts: readonly Shift[];
  /** Keys of the second fingering that a digit reaches out for. */
  readonly reached: readonly string[];
  readonly overBreak: boolean;
}

export function fingerChange(table: FingeringTable, from: Fingering, to: Fingering): FingerChange {
  const left = byDigit(
    table,
    from.keys.filter((key) => !to.keys.includes(key)),
  );
  const taken = byDigit(
    table,
    to.keys.filter((key) => !from.keys.includes(key)),
  );
  const kept = byDigit(
    table,
    from.keys.filter((key) => to.keys.includes(key)),
  );
  const pressed: Digit[] = [];
  const lifted: Digit[] = [];
  const shifts: Shift[] = [];
  const moved = [...new Set([...left.keys(), ...taken.keys()])];
  for (const digit of moved) {
    const [old, next] = [left.get(digit)?.[0], taken.get(digit)?.[0]];
    if (old !== undefined && next !== undefined) {
      shifts.push({ digit, from: old, to: next, kind: shiftKind(table, old, next) });
      continue;
    }
    // A digit that keeps a key and takes or leaves one beside it shifts on the spot.
    const beside = kept.get(digit)?.find((key) => shiftKind(table, key, (old ?? next)!) !== 'leap');
    if (beside !== undefined) {
      const kind = shiftKind(table, beside, (old ?? next)!);
      shifts.push({ digit, from: old ?? beside, to: next ?? beside, kind });
    } else if (next !== undefined) pressed.push(digit);
    else lifted.push(digit);
  }
  const { breaks, reached } = table.family;
  return {
    moved,
    pressed,
    lifted,
    shifts,
    reached: [...taken.values()].flat().filter((key) => reached.includes(key)),
    overBreak: breaks.some((first) => from.pitch < first !== to.pitch < first),
  };
}

/** Fingers of one hand that go down while others of it come up; and the whole hands against each other. */
export function contraryMotion({ pressed, lifted }: FingerChange): {
  readonly within: number;
  readonly between: boolean;
} {
  const count = (digits: readonly Digit[], hand: string) => digits.filter((d) => handOf(d) === hand).length;
  const [down, up] = [
    { left: count(pressed, 'left'), right: count(pressed, 'right') },
    { left: count(lifted, 'left'), right: count(lifted, 'right') },
  ];
  return {
    within: Math.min(down.left, up.left) + Math.min(down.right, up.right),
    between:
      (down.left > 0 && up.left === 0 && up.right > 0 && down.right === 0) ||
      (down.right > 0 && up.right === 0 && up.left > 0 && down.left === 0),
  };
}

function byDigit({ digitOf }: FingeringTable, keys: readonly string[]): Map<Digit, string[]> {
  const digits = new Map<Digit, string[]>();
  for (const key of keys) {
    const digit = digitOf.get(key)!;
    digits.set(digit, [...(digits.get(digit) ?? []), key]);
  }
  return digits;
}

function shiftKind({ family }: FingeringTable, a: string, b: string): Shift['kind'] {
  const has = (pairs: readonly (readonly [string, string])[]) =>
    pairs.some(([one, other]) => (one === a && other === b) || (one === b && other === a));
  if (has(family.rolls)) return 'roll';
  return has(family.rollers) ? 'rollers' : 'leap';
}
