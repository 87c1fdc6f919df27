// The shapes that causes give to the placements of a take: how far from where it should be each note stands, for one
// unit of the cause.

import type { Expectation } from '../matching/expectation.ts';
import { microsAt, microsBetween } from '../music/timing.ts';
import type { Cause } from './cause.ts';
import type { Column } from './line-fit.ts';
import type { Moment } from './strands.ts';

export interface Shape {
  readonly cause: Cause['kind'];
  readonly column: Column;
  /** Where it stands or begins, an onset. */
  readonly onset: number;
  /** How many of its kind were to choose from. */
  readonly variants: number;
  /** The cause, of so many units (microseconds, or a share). */
  name(units: number): Cause;
}

/** A drift from the beginning, or from one of these shares of the take on. */
const DRIFTS_FROM = [0, 0.4, 0.55, 0.7];
/** A slope from fewer moments is a guess. */
const TEMPO_LEAST = 4;
const DRIFT_LEAST = 6;
/** One interval after the mark may be late or early for another reason. */
const MARK_LEAST = 2;
/** Threes and fours, with any place in them, are rarer than pairs: what they cost to choose. */
const RARE_PATTERNS = 40;
/** A pattern has come at least so often. */
const PATTERN_LEAST = 3;

export function shapesOf(expectation: Expectation, moments: readonly Moment[]): Shape[] {
  return [
    ...intervals(moments),
    ...handIntervals(moments),
    ...displaced(moments),
    ...displacedTogether(moments),
    ...(expectation.pulse === 'click' ? tempo(moments) : []),
    ...tempoMarks(expectation, moments),
    ...drifts(moments),
    ...patterns(expectation, moments),
    ...evened(expectation, moments),
    ...hand(moments),
  ];
}

function intervals(moments: readonly Moment[]): Shape[] {
  return moments.flatMap(({ onset }, i): Shape[] =>
    i === 0 || moments[i - 1]!.onset === onset
      ? []
      : [
          {
            cause: 'interval',
            column: { from: i },
            onset,
            variants: 1,
            name: (units) => ({ kind: 'interval', from: onset - 1, deviationMicros: units }),
          },
        ],
  );
}

/** Of two hands one alone: it stays ahead of the other, or behind. Its last note alone is displaced. */
function handIntervals(moments: readonly Moment[]): Shape[] {
  return moments.flatMap(({ onset, hand }, i): Shape[] => {
    if (hand === undefined) return [];
    const before = moments.slice(0, i).findLast((one) => one.hand === hand);
    const others = moments.slice(i + 1);
    const both = others.some((one) => one.hand === hand) && moments.some((one) => one.hand !== hand);
    if (!before || !both) return [];
    return [
      {
        cause: 'interval',
        column: { values: moments.map((one, k) => (one.hand === hand && k >= i ? 1 : 0)) },
        onset,
        variants: 1,
        name: (units) => ({ kind: 'interval', from: before.onset, hand, deviationMicros: units }),
      },
    ];
  });
}

/** What both hands struck at one onset, late or early alike. */
function displacedTogether(moments: readonly Moment[]): Shape[] {
  return moments.flatMap(({ onset }, i): Shape[] => {
    if (i === 0 || moments[i - 1]!.onset !== onset) return [];
    return [
      {
        cause: 'displaced',
        column: { values: moments.map((one) => (one.onset === onset ? 1 : 0)) },
        onset,
        variants: 1,
        name: (units) => ({ kind: 'displaced', onset, offsetMicros: units }),
      },
    ];
  });
}

function displaced(moments: readonly Moment[]): Shape[] {
  return moments.map(({ onset, hand, note }, i) => ({
    cause: 'displaced',
    column: { at: i },
    onset,
    variants: 1,
    name: (units) => ({
      kind: 'displaced',
      onset,
      ...(hand === undefined ? {} : { hand }),
      ...(note === undefined ? {} : { note }),
      offsetMicros: units,
    }),
  }));
}

function tempo(moments: readonly Moment[]): Shape[] {
  if (new Set(moments.map((m) => m.onset)).size < TEMPO_LEAST) return [];
  const begin = moments[0]!.askedMicros;
  return [
    {
      cause: 'tempo',
      column: { values: moments.map((m) => m.askedMicros - begin) },
      onset: moments[0]!.onset,
      variants: 1,
      name: (units) => ({ kind: 'tempo', share: units }),
    },
  ];
}

/** From a written change of tempo on, to the next: the interval before it keeps its old tempo. */
function tempoMarks(expectation: Expectation, moments: readonly Moment[]): Shape[] {
  const changes = writtenChanges(expectation);
  return changes.flatMap(({ tick, factor }, i): Shape[] => {
    const next = changes[i + 1];
    const begin = microsAt(expectation, tick);
    const end = next ? microsAt(expectation, next.tick) : Number.POSITIVE_INFINITY;
    const values = moments.map(({ askedMicros }) => Math.min(Math.max(0, askedMicros - begin), end - begin));
    const onset = expectation.onsets.findIndex((one) => one.tick >= tick);
    const after = moments.filter(({ askedMicros }) => askedMicros > begin && askedMicros <= end);
    if (onset === -1 || after.length < MARK_LEAST || values[0]! > 0) return [];
    return [
      {
        cause: 'tempo-mark',
        column: { values },
        onset,
        variants: 1,
        // Kept on as before, an interval is as long as if the tempo had not changed.
        name: (units) => ({ kind: 'tempo-mark', onset, share: units, made: 1 - units / (factor - 1) }),
      },
    ];
  });
}

/** Where the music goes faster or slower from then on, fermatas apart, and so many times as fast. */
function writtenChanges({
  onsets,
  paces = [],
}: Expectation): { readonly tick: number; readonly factor: number }[] {
  const held = new Set(
    onsets.flatMap(({ tick, notes }) =>
      notes.some(({ articulations }) => articulations?.includes('fermata')) ? [tick] : [],
    ),
  );
  const tempos = paces.filter(({ fromTick }) => !held.has(fromTick));
  return tempos.flatMap(({ fromTick, ratio }, i) => {
    const before = tempos[i - 1];
    return before && before.ratio !== ratio ? [{ tick: fromTick, factor: ratio / before.ratio }] : [];
  });
}

/** The tempo changes evenly from a place on: the placement grows with the square of the time since. */
function drifts(moments: readonly Moment[]): Shape[] {
  if (moments.length < DRIFT_LEAST) return [];
  const begin = moments[0]!.askedMicros;
  const seconds = (micros: number): number => micros / 1e6;
  const whole = seconds(moments.at(-1)!.askedMicros - begin);
  return DRIFTS_FROM.map((share) => {
    const at = share * whole;
    const since = moments.map((m) => Math.max(0, seconds(m.askedMicros - begin) - at));
    const first = moments.find((_, i) => since[i]! > 0)!;
    return {
      cause: 'drift' as const,
      column: { values: since.map((s) => s * s) },
      onset: first.onset,
      variants: DRIFTS_FROM.length,
      // The rate of change at the end: microseconds a second, as a share.
      name: (units: number): Cause => ({
        kind: 'drift',
        from: share === 0 ? moments[0]!.onset : Math.max(0, first.onset - 1),
        share: (2 * units * (whole - at)) / 1e6,
      }),
    };
  });
}

/** One in two, three or four notes of equal length, counted in the beat. */
function patterns({ onsets, tempo }: Expectation, moments: readonly Moment[]): Shape[] {
  const shapes: Shape[] = [];
  for (const period of [2, 3, 4]) {
    for (let place = 1; place < period; place++) {
      const values = moments.map(({ onset }) =>
        placeInGroup(onset, { onsets, beatTicks: tempo.beatTicks, period }) === place ? 1 : 0,
      );
      const often = values.filter((value) => value === 1).length;
      if (often < PATTERN_LEAST || often === values.length) continue;
      shapes.push({
        cause: 'pattern',
        column: { values },
        onset: moments[0]!.onset,
        variants: period === 2 ? 1 : RARE_PATTERNS,
        name: (units) => ({ kind: 'pattern', period, place, offsetMicros: units }),
      });
    }
  }
  return shapes;
}

/** Where in its group of equal notes an onset stands; undefined where it is not in such a group. */
function placeInGroup(
  onset: number,
  { onsets, beatTicks, period }: Pick<Expectation, 'onsets'> & { beatTicks: number; period: number },
): number | undefined {
  const tick = onsets[onset]!.tick;
  const before = onset > 0 ? tick - onsets[onset - 1]!.tick : undefined;
  const after = onset + 1 < onsets.length ? onsets[onset + 1]!.tick - tick : undefined;
  const unit = before !== undefined && after !== undefined ? Math.min(before, after) : (before ?? after);
  if (unit === undefined || tick % unit !== 0) return undefined;
  // Groups of three and four fill beats; pairs are pairs whatever they fill.
  if (period !== 2 && beatTicks % (period * unit) !== 0 && (period * unit) % beatTicks !== 0)
    return undefined;
  if (period === 2 && beatTicks % (3 * unit) === 0 && beatTicks % (2 * unit) !== 0) return undefined;
  const place = (((tick / unit) % period) + period) % period;
  // The group must be one of equal notes: the note before belongs to it, and it is as long itself.
  return place === 0 || (before === unit && (after === undefined || after === unit)) ? place : undefined;
}

/** Unequal notes within each beat, or of a rhythm that repeats, as they would stand if they were equal. */
function evened(expectation: Expectation, moments: readonly Moment[]): Shape[] {
  const { onsets, tempo } = expectation;
  return [evenPlaces(onsets, tempo.beatTicks), evenCells(onsets)].flatMap((even): Shape[] => {
    const values = moments.map(({ onset }) =>
      even === undefined ? 0 : microsBetween(expectation, onsets[onset]!.tick, even[onset]!),
    );
    if (values.filter((value) => value !== 0).length < 2) return [];
    return [
      {
        cause: 'evened',
        column: { values },
        onset: moments[0]!.onset,
        variants: 1,
        name: (units) => ({ kind: 'evened', share: units }),
      },
    ];
  });
}

const CELLS = [2, 3, 4];
const CELLS_LEAST = 2;

/** The same of a rhythm of two, three or four notes that repeats all the way; undefined where none does. */
function evenCells(onsets: Expectation['onsets']): number[] | undefined {
  const gaps = onsets.slice(1).map(({ tick }, i) => tick - onsets[i]!.tick);
  const count = CELLS.find(
    (many) => gaps.length >= CELLS_LEAST * many && gaps.every((gap, i) => i < many || gap === gaps[i - many]),
  );
  if (count === undefined) return undefined;
  const cellTicks = onsets[count]!.tick - onsets[0]!.tick;
  return onsets.map((_, i) => onsets[0]!.tick + (i * cellTicks) / count);
}

/** The ticks at which onsets between two beats would stand if all were equal, the onsets on beats where they are. */
function evenPlaces(onsets: Expectation['onsets'], beatTicks: number): number[] {
  const places = onsets.map((onset) => onset.tick);
  const onBeat = (index: number): boolean => onsets[index]!.tick % beatTicks === 0;
  let from: number | undefined;
  for (let i = 0; i < onsets.length; i++) {
    if (!onBeat(i)) continue;
    if (from !== undefined && i - from > 1) {
      const [start, end] = [onsets[from]!.tick, onsets[i]!.tick];
      for (let k = from + 1; k < i; k++) places[k] = start + ((end - start) * (k - from)) / (i - from);
    }
    from = i;
  }
  return places;
}

function hand(moments: readonly Moment[]): Shape[] {
  const [first] = moments;
  const other = moments.find((m) => m.hand !== first?.hand)?.hand;
  if (other === undefined) return [];
  const lower = other === 'left hand' || other === 'lower voice' ? other : first!.hand!;
  return [
    {
      cause: 'hand',
      column: { values: moments.map((m) => (m.hand === lower ? 1 : 0)) },
      onset: first!.onset,
      variants: 1,
      name: (units) => ({ kind: 'hand', hand: lower, offsetMicros: units }),
    },
  ];
}
