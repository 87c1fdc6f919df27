// Everything about the time of a take beside its intervals, in lines for a person to read: where it stood on the click,
// how even it was and why, how chords were struck together, how notes were joined. Plain ASCII.

import type { Expectation } from '../matching/expectation.ts';
import { ticksToMicros } from '../music/tempo.ts';
import { median } from '../statistics.ts';
import { playedChords } from '../take/onset-times.ts';
import { standouts } from '../take/standouts.ts';
import type { Evenness, IntervalVerdict, Joint, TakeVerdict } from '../take/verdict.ts';
import { millis, percent } from './figures.ts';

/** A shorter silence between two notes is not heard as one (common practice, no source). */
const GAP_MICROS = 20_000;

/** One line for each thing that was measured; empty when nothing was. `nameOf` an onset: "C4+E4". */
export function timingReport(
  verdict: TakeVerdict,
  expectation: Expectation,
  nameOf: (onset: number) => string,
): string[] {
  return [
    ...placementLine(verdict),
    ...(verdict.evenness ? [evennessLine(verdict.evenness)] : []),
    ...standoutLine(verdict, nameOf),
    ...touchLine(verdict),
    ...chordLine(verdict, nameOf),
    ...jointLines(verdict.joints, expectation, nameOf),
  ];
}

/** Of fewer intervals a spread says little, and the sentence has the worst of them. */
const REMARK_LEAST_INTERVALS = 4;

/**
 * The one thing about the time of a take that is worth a line beside its sentence: the widest gap under a slur, else
 * what was unlike the rest though within the tolerance, else how even it was; undefined when none was measured.
 * `slurs` false: the notes were not in the order in which they are written, and slurs mean nothing.
 * @example timingRemark(verdict, step, nameOf) // 'Gap of 140 ms under the slur, B4 to A4.'
 */
export function timingRemark(
  verdict: TakeVerdict,
  expectation: Written,
  nameOf: (onset: number) => string,
  { slurs = true }: { readonly slurs?: boolean } = {},
): string | undefined {
  const torn = slurs ? tornSlurs(withoutRests(verdict.joints, expectation))[0] : undefined;
  if (torn)
    return `Gap of ${millis(torn.overlapMicros)} under the slur, ${nameOf(torn.from)} to ${nameOf(torn.from + 1)}.`;
  const [unlike] = standouts(verdict.intervals)
    .filter(({ clean }) => clean)
    .sort((a, b) => Math.abs(b.deviationMicros) - Math.abs(a.deviationMicros));
  if (unlike) return `Unlike the rest: ${standoutWords(unlike, nameOf)}.`;
  const { evenness, intervals } = verdict;
  if (!evenness || intervals.length < REMARK_LEAST_INTERVALS) return undefined;
  return `Even to ${millis(evenness.sdMicros)} (${percent(evenness.variation)}).`;
}

/** What is written, as far as it says where notes join. */
type Written = Pick<Expectation, 'onsets' | 'tempo'>;

function placementLine({ placement }: TakeVerdict): string[] {
  if (!placement) return [];
  const { lagMicros, spreadMicros, driftMicrosPerSecond } = placement;
  if (Number.isNaN(spreadMicros)) return [];
  const drift = millis(driftMicrosPerSecond);
  const way = driftMicrosPerSecond > 0 ? 'falling behind' : 'running ahead';
  const drifting = drift === '0 ms' ? '' : `, ${way} by ${drift} a second`;
  const where = lagMicros === undefined ? 'against the click' : `${lagWords(lagMicros)} the click`;
  return [`${where}, give or take ${millis(spreadMicros)}${drifting}`];
}

function lagWords(lagMicros: number): string {
  if (millis(lagMicros) === '0 ms') return 'on';
  return `${millis(lagMicros)} ${lagMicros > 0 ? 'after' : 'before'}`;
}

/** "Even to": the standard deviation of the intervals about what was asked. */
function evennessLine({ sdMicros, variation, clockSdMicros, motorSdMicros }: Evenness): string {
  const split =
    clockSdMicros === undefined || motorSdMicros === undefined
      ? ''
      : `: the inner clock ${millis(clockSdMicros)}, the fingers ${millis(motorSdMicros)}`;
  return `even to ${millis(sdMicros)} (${percent(variation)} of an interval)${split}`;
}

/** Within the tolerance or not: what was unlike the rest of this take. */
function standoutLine({ intervals }: TakeVerdict, nameOf: (onset: number) => string): string[] {
  const standing = standouts(intervals).map((interval) => standoutWords(interval, nameOf));
  if (standing.length === 0) return [];
  return [`unlike the rest: ${standing.join(', ')}`];
}

function standoutWords(
  { from, to, deviationMicros }: IntervalVerdict,
  nameOf: (onset: number) => string,
): string {
  return `${nameOf(from)} to ${nameOf(to)} ${millis(deviationMicros)} ${deviationMicros < 0 ? 'short' : 'long'}`;
}

function touchLine({ touch }: TakeVerdict): string[] {
  if (!touch) return [];
  const { by, unevenDb, least, most } = touch;
  return [
    `${by === 'breath' ? 'breath' : 'touch'}: from ${least} to ${most}, even to ${unevenDb.toFixed(1)} dB`,
  ];
}

function chordLine(verdict: TakeVerdict, nameOf: (onset: number) => string): string[] {
  const chords = playedChords(verdict);
  if (chords.length === 0) return [];
  const widest = chords.reduce((a, b) => (b.spreadMicros > a.spreadMicros ? b : a));
  const usual = chords.length > 1 ? `, the usual ${millis(median(chords.map((c) => c.spreadMicros)))}` : '';
  return [`chords: widest apart ${millis(widest.spreadMicros)} (${nameOf(widest.onset)})${usual}`];
}

function jointLines(
  joints: readonly Joint[],
  expectation: Expectation,
  nameOf: (onset: number) => string,
): string[] {
  const written = withoutRests(joints, expectation);
  if (written.length === 0) return [];
  const gaps = written.filter(isGap);
  const held = written.filter((joint) => !isGap(joint));
  const parts: string[] = [];
  if (held.length > 0) {
    const over = median(held.map((j) => j.overlapMicros));
    const amount = millis(over) === '0 ms' ? '' : ` (usually ${millis(over)} ${over > 0 ? 'over' : 'short'})`;
    parts.push(`${held.length} of ${written.length} notes held to the next${amount}`);
  }
  if (gaps.length > 0) {
    const gap = millis(median(gaps.map((j) => j.overlapMicros)));
    parts.push(`${gaps.length} let go before it (usually ${gap})`);
  }
  const torn = tornSlurs(written);
  const worst = torn[0];
  return [
    `joined: ${parts.join(', ')}`,
    ...(worst
      ? [
          `under the slurs: ${torn.length === 1 ? 'a gap' : `${torn.length} gaps, the widest`} of ${millis(worst.overlapMicros)} from ${nameOf(worst.from)} to ${nameOf(worst.from + 1)}`,
        ]
      : []),
  ];
}

/** A rest between two notes is a gap that was asked for. */
function withoutRests(joints: readonly Joint[], { onsets, tempo }: Written): Joint[] {
  return joints.filter(({ from }) => {
    const { tick, notes } = onsets[from]!;
    const end = tick + Math.max(...notes.map((note) => note.durationTicks));
    return ticksToMicros(onsets[from + 1]!.tick - end, tempo) <= GAP_MICROS;
  });
}

/** Gaps under slurs, the widest first. */
function tornSlurs(written: readonly Joint[]): Joint[] {
  return written
    .filter((joint) => joint.slurred && isGap(joint))
    .sort((a, b) => a.overlapMicros - b.overlapMicros);
}

function isGap({ overlapMicros }: Joint): boolean {
  return overlapMicros < -GAP_MICROS;
}
