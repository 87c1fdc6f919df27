// What a change of fingering costs, in tenths of a finger. Whole numbers throughout, so that equal plans are equal and
// the tie goes to the standard fingering. The weights are ours; what is weighed is in the comments. Published is the
// direction: delays between fingers grow with their number (Almeida et al. 2009, JASA 126:1521), and changes with
// fingers in contrary motion are the ones that go through wrong notes (the same).

import { contraryMotion, type FingerChange, fingerChange } from './finger-change.ts';
import type { Fingering } from './fingering.ts';
import type { FingeringTable } from './table.ts';

/** One digit that moves: the unit. */
const FINGER = 10;
/** A finger down while another of the same hand comes up: neither movement can lead. */
const CONTRARY_WITHIN = 6;
/** One hand closes while the other opens. */
const CONTRARY_BETWEEN = 4;
/** A finger turns from one key onto its neighbour: common practice for the index finger and the thumb. */
const ROLL = 5;
/** A slide over rollers: easy, and still slower than a free finger. */
const ROLLERS = 15;
/** A finger leaves one key for another: cannot be quite legato. Dearer than any detour by the other hand. */
const LEAP = 40;
/** A key that is reached for takes the hand out of its place. */
const REACH = 4;
/** Over a register break the air has to change with the fingers. */
const BREAK = 10;

const PRICES = {
  fingers: FINGER,
  within: CONTRARY_WITHIN,
  between: CONTRARY_BETWEEN,
  rolls: ROLL,
  rollers: ROLLERS,
  leaps: LEAP,
  reaches: REACH,
  breaks: BREAK,
} as const;

export type CostName = keyof typeof PRICES;

export const COST_NAMES = Object.keys(PRICES) as CostName[];

/** What a change costs, by what it is for. */
type CostParts = Readonly<Record<CostName, number>>;

/** A change with its price. */
export interface PricedChange {
  readonly change: FingerChange;
  readonly parts: CostParts;
  /** The sum of the parts. */
  readonly cost: number;
}

/** What was reckoned already, by table and the two fingerings: it never changes. */
const KNOWN = new WeakMap<FingeringTable, Map<number, PricedChange>>();

export function pricedChange(table: FingeringTable, from: Fingering, to: Fingering): PricedChange {
  const known = KNOWN.get(table) ?? new Map<number, PricedChange>();
  KNOWN.set(table, known);
  const pair = from.index * table.fingerings.length + to.index;
  const priced = known.get(pair) ?? price(fingerChange(table, from, to));
  known.set(pair, priced);
  return priced;
}

function price(change: FingerChange): PricedChange {
  const { within, between } = contraryMotion(change);
  const shifts = (kind: string) => change.shifts.filter((shift) => shift.kind === kind).length;
  const parts: CostParts = {
    fingers: PRICES.fingers * change.moved.length,
    within: PRICES.within * within,
    between: between ? PRICES.between : 0,
    rolls: PRICES.rolls * shifts('roll'),
    rollers: PRICES.rollers * shifts('rollers'),
    leaps: PRICES.leaps * shifts('leap'),
    reaches: PRICES.reaches * change.reached.length,
    breaks: change.overBreak ? PRICES.breaks : 0,
  };
  return { change, parts, cost: COST_NAMES.reduce((sum, name) => sum + parts[name], 0) };
}

/** A fingering that sounds duller has to save three fingers in unhurried notes, fewer in fast ones. */
const VEILED = 300;
/** One that is meant for trills, and out of tune on its own, hardly ever pays in a line. */
const FOR_TRILLS = 1500;

/** What a fingering costs whatever comes before it. In hundredths of a finger, as a change times its haste is. */
export function soundCost({ name, veiled }: Fingering): number {
  if (name === 'trill') return FOR_TRILLS;
  return veiled ? VEILED : 0;
}

/** The interval at which a cost counts once: sixteenths at 75 a minute. */
const UNHURRIED_MICROS = 200_000;
const LEAST_HASTE = 2;
const MOST_HASTE = 40;

/**
 * How much a change counts, in tenths: the shorter the time for it, the more. So a slide that cannot be avoided falls
 * where there is most time for it. In a rest the fingers are put down unheard.
 * @param micros From one note's beginning to the next one's.
 */
export function haste(micros: number, rested: boolean): number {
  if (rested || !(micros > 0)) return LEAST_HASTE;
  return Math.max(LEAST_HASTE, Math.min(MOST_HASTE, Math.round((10 * UNHURRIED_MICROS) / micros)));
}
