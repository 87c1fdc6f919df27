// From snags to the kind of difficulty, which is what a drill is chosen for.

import { beatTicksAt, passageBeats, type Span, spanOnsets } from '../music/span.ts';
import { mean, median } from '../statistics.ts';
import type { Trouble } from '../take/verdict.ts';
import type { Difficulty, Snag, WholeFault } from './difficulty.ts';
import type { SurveyTake } from './interval-figures.ts';

/** Snags less sure than this do not decide about a drill. */
const SURE_ENOUGH = 0.5;

/** Snags so near to each other are one trouble. */
const NEIGHBOUR_BEATS = 2;
/** A run of landings is made of beats; more than so many are not "a few beats in a row". */
const MOST_BEATS = 16;
/** With trouble in more than this share of its beats, the whole line is the trouble. */
const LINE_SHARE = 0.35;
const LINE_CLUSTERS = 4;

/** Just noticeable change of tempo from six intervals on: 3 % (Drake & Botte 1993, Percept Psychophys 54:277). */
const RUSH_SHARE = 0.03;
/** Rushing takes more than a beat or two to be called so. */
const RUSH_INTERVALS = 6;

/**
 * @param snags As findSnags gave them for the span, numbered as in its passage.
 * @param takes The same takes, their onsets indexed from the span's first.
 */
export function diagnose(snags: readonly Snag[], takes: readonly SurveyTake[], span: Span): Difficulty {
  const sure = snags.filter((snag) => snag.confidence >= SURE_ENOUGH);
  const rushing = findRushing(takes, span);
  // Where each snag is nothing but a short interval, and all of them are too short, they have one cause.
  if (rushing && sure.every(({ kinds }) => kinds[0] === 'rushed')) {
    const within = sure.every(({ onset }) => onset >= rushing.first && onset < rushing.last);
    if (sure.length !== 1 && within) return rushing;
  }
  const worst = sure[0];
  if (!worst) return rushing ?? withoutSnag(takes);
  const clusters = clustersOf(sure, span);
  if (isLine(clusters, span)) return { kind: 'line', worst };
  const heaviest = clusters.reduce((a, b) => (weightOf(b) > weightOf(a) ? b : a));
  if (heaviest.length === 1) {
    const snag = heaviest[0]!;
    return snag.kinds[0] === 'hesitant' ? { kind: 'hesitation', snag } : { kind: 'interval', snag };
  }
  const inOrder = heaviest.map(({ onset }) => onset);
  const worstHere = heaviest.reduce((a, b) => (b.weight > a.weight ? b : a));
  return {
    kind: 'beats',
    ...wholeBeats(Math.min(...inOrder), Math.max(...inOrder) + 1, span),
    worst: worstHere,
  };
}

/** The diagnosis agrees with the takes: where none was clean there is something to work at. */
function withoutSnag(takes: readonly SurveyTake[]): Difficulty {
  const faults = takes.flatMap(({ verdict }) => wholeFaultOf(verdict.troubles[0]) ?? []);
  const common = faults.find((fault) => faults.filter((one) => one === fault).length > takes.length / 2);
  if (common) return { kind: 'whole', fault: common };
  const none = takes.length > 0 && takes.every(({ verdict }) => verdict.troubles.length > 0);
  return { kind: none ? 'unsettled' : 'none' };
}

function wholeFaultOf(trouble: Trouble | undefined): WholeFault | undefined {
  switch (trouble?.kind) {
    case 'tempo':
      return trouble.share > 0 ? 'too slow' : 'too fast';
    case 'drift':
      return trouble.share > 0 ? 'slowing' : 'speeding';
    case 'pattern':
      return 'lilting';
    case 'evened':
      return 'evened';
    case 'octave':
    case 'transposed':
      return 'set otherwise';
    case 'uneven':
      return 'uneven';
    case 'hand':
      return 'hands apart';
    case 'placed':
    case 'entered':
      return 'off the click';
    default:
      return undefined;
  }
}

/** Snags in order of the passage, those within two beats of each other together. */
function clustersOf(snags: readonly Snag[], span: Span): Snag[][] {
  const clusters: Snag[][] = [];
  for (const snag of snags.toSorted((a, b) => a.onset - b.onset)) {
    const cluster = clusters.at(-1);
    const before = cluster?.at(-1);
    if (cluster && before && beatsBetween(before.onset + 1, snag.onset, span) <= NEIGHBOUR_BEATS) {
      cluster.push(snag);
    } else clusters.push([snag]);
  }
  return clusters;
}

function isLine(clusters: readonly (readonly Snag[])[], span: Span): boolean {
  const longest = Math.max(
    ...clusters.map((cluster) => beatsBetween(cluster[0]!.onset, cluster.at(-1)!.onset + 1, span)),
  );
  if (longest > MOST_BEATS) return true;
  const troubled = new Set(clusters.flat().map(({ onset }) => beatNumber(onset, span))).size;
  const beats = Math.max(1, Math.round(beatsBetween(span.first, span.last, span)));
  return clusters.length >= LINE_CLUSTERS && troubled / beats > LINE_SHARE;
}

function weightOf(cluster: readonly Snag[]): number {
  return cluster.reduce((sum, { weight }) => sum + weight, 0);
}

function tickOf(onset: number, span: Span): number {
  return span.passage.onsets[onset - 1]!.tick;
}

function beatsBetween(from: number, to: number, span: Span): number {
  return (tickOf(to, span) - tickOf(from, span)) / beatTicksAt(span.passage, tickOf(from, span));
}

function beatNumber(onset: number, span: Span): number {
  return Math.floor(beatsBetween(span.first, onset, span));
}

/** Outwards to onsets that stand on beats, where the span has them. */
function wholeBeats(
  first: number,
  last: number,
  span: Span,
): { readonly first: number; readonly last: number } {
  const beats = new Set(passageBeats(span.passage));
  const onBeat = (onset: number) => beats.has(tickOf(onset, span));
  let [from, to] = [first, last];
  while (from > span.first && !onBeat(from)) from--;
  while (to < span.last && !onBeat(to)) to++;
  return { first: from, last: to };
}

/**
 * The stretch that is rushed most: with the highest sum of what its intervals are too short by, less what nobody
 * would notice (the largest sum of a run, Kadane's way).
 */
function findRushing(
  takes: readonly SurveyTake[],
  span: Span,
): Extract<Difficulty, { kind: 'rushing' }> | undefined {
  const count = spanOnsets(span).length - 1;
  const shares = Array.from({ length: Math.max(0, count) }, (_, from) => {
    const here = takes.flatMap(({ verdict }) => {
      // Without a click the asked tempo is not heard, and a steady faster take is even: the take's own pace counts.
      const interval = verdict.intervals.find((i) => i.from === from);
      return interval ? [Math.max(-0.15, Math.min(0.15, interval.share))] : [];
    });
    return here.length > 0 ? median(here) : 0;
  });
  let best = { from: 0, to: 0, sum: 0 };
  let from = 0;
  let sum = 0;
  shares.forEach((share, i) => {
    if (sum <= 0) [from, sum] = [i, 0];
    sum += -share - RUSH_SHARE;
    if (sum > best.sum) best = { from, to: i + 1, sum };
  });
  const rushed = shares.slice(best.from, best.to);
  const short = rushed.filter((share) => share < 0).length;
  if (rushed.length < RUSH_INTERVALS || short < 0.75 * rushed.length) return undefined;
  return {
    kind: 'rushing',
    first: span.first + best.from,
    last: span.first + best.to,
    share: -mean(rushed),
  };
}
