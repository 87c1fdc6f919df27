// tsx test/bench/slips.ts CASES.jsonl.gz...
// How soon after a slip the follower is sure of it, and how often it is sure of one that was none: the run is stopped by
// it. A slip is a wrong, added or missed note (of a missed one: when the next note was played), the first of each case.

import { passTime, startFollowing } from '../../src/matching/follow.ts';
import { type ConvertedCase, convert, readCases } from './matching-cases.ts';
import { eventsOf } from './matching-online.ts';

const files = process.argv.slice(2);
if (files.length === 0) {
  console.error('usage: tsx test/bench/slips.ts CASES.jsonl.gz...');
  process.exit(2);
}
for (const file of files) {
  const told: number[] = [];
  const toldMs: number[] = [];
  const count = { slips: 0, overlooked: 0, early: 0, clean: 0, wrongly: 0 };
  for (const given of readCases(file)) {
    const c = convert(given);
    const truth = firstSlip(c);
    const found = firstTold(c);
    if (truth === undefined) {
      count.clean++;
      if (found) count.wrongly++;
      continue;
    }
    count.slips++;
    // That a note was missed can be told by the clock before the next note comes.
    const first = truth.missed && found?.byClock ? truth.from - 1 : truth.from;
    if (!found) count.overlooked++;
    else if (found.played < first) count.early++;
    else {
      told.push(Math.max(0, found.played - truth.played));
      toldMs.push(Math.max(0, found.atMicros - c.played[truth.played]!.onMicros) / 1000);
    }
  }
  const within = (notes: number): string =>
    `${((100 * told.filter((n) => n <= notes).length) / Math.max(1, count.slips)).toFixed(1)} %`;
  toldMs.sort((a, b) => a - b);
  const at = (q: number): string => `${Math.round(toldMs[Math.floor(q * (toldMs.length - 1))] ?? 0)} ms`;
  console.log(
    `${file.split('/').at(-1)}: ${count.slips} first slips, told at once ${within(0)}, within one note ${within(1)}, ` +
      `two ${within(2)}, four ${within(4)}, ever ${within(1e9)} (p50 ${at(0.5)}, p95 ${at(0.95)}); ` +
      `overlooked ${count.overlooked}, too early ${count.early}; ` +
      `${count.wrongly} of ${count.clean} takes without a slip stopped`,
  );
}

interface FirstSlip {
  /** Index of the played note with which it can be known; of a missed note, the next one played. */
  readonly played: number;
  /** Where another note is as good an answer, the first of the two. Told there it is not too early. */
  readonly from: number;
  readonly missed: boolean;
}

/**
 * The first slip of the truth. No slips are: grace notes left out, one of two voices in unison (one key sounds once), and
 * added notes beside a written ornament while it sounds.
 */
function firstSlip(c: ConvertedCase): FirstSlip | undefined {
  const { truth, score, performance } = c.given;
  const indexOf = new Map(c.perfIds.map((id, i) => [id, i]));
  const pitchOf = new Map(performance.map((n) => [n.id, n.pitch]));
  const slips = truth.substitutions.map(([, p]): FirstSlip => slipAt(indexOf.get(p)!));
  const beats = new Map(score.map((n) => [n.id, n.onsetBeats]));
  const key = (n: { readonly onsetBeats: number; readonly pitch: number }) => `${n.onsetBeats} ${n.pitch}`;
  const matched = new Map(truth.matches);
  const played = new Set(score.filter((n) => matched.has(n.id)).map(key));
  const excused = new Set(score.filter((n) => n.grace || played.has(key(n))).map((n) => n.id));
  const noteAfter = (beat: number): number | undefined => {
    const later = truth.matches.filter(([s]) => beats.get(s)! > beat).map(([, p]) => indexOf.get(p)!);
    return later.length > 0 ? Math.min(...later) : undefined;
  };
  const ornaments = score
    .filter((n) => n.ornament && matched.has(n.id))
    .map((n) => ({
      pitch: n.pitch,
      from: noteBefore(n.onsetBeats),
      to: noteAfter(n.onsetBeats + n.durationBeats - 1e-6) ?? c.played.length,
    }));
  function noteBefore(beat: number): number {
    const earlier = truth.matches.filter(([s]) => beats.get(s)! < beat).map(([, p]) => indexOf.get(p)!);
    return Math.max(-1, ...earlier);
  }
  // While a try is played nobody can know that it will be given up, nor of a note struck twice that it will be.
  const againAt = new Map<string, number>();
  for (const [s, others] of Object.entries(truth.alternatives ?? {})) {
    const match = matched.get(s);
    for (const id of others) if (match !== undefined) againAt.set(id, indexOf.get(match)!);
  }
  for (const id of truth.extra) {
    const i = indexOf.get(id)!;
    const near = (pitch: number) => Math.abs(pitch - pitchOf.get(id)!) <= 2;
    if (!ornaments.some((o) => near(o.pitch) && i > o.from && i < o.to))
      slips.push(slipAt(i, againAt.get(id)));
  }
  for (const id of truth.missed) {
    if (excused.has(id)) continue;
    const next = noteAfter(beats.get(id)!) ?? c.played.length - 1;
    slips.push({ played: next, from: next, missed: true });
  }
  const first = Math.min(...slips.map(({ played }) => played));
  return slips.find(({ played }) => played === first);
}

function slipAt(played: number, again = played): FirstSlip {
  return { played: Math.max(played, again), from: Math.min(played, again), missed: false };
}

interface Told {
  /** The note with which it was told, or by then the latest one played when the clock told it. */
  readonly played: number;
  readonly byClock: boolean;
  readonly atMicros: number;
}

function firstTold(c: ConvertedCase): Told | undefined {
  const events = eventsOf(c);
  let follower = startFollowing(c.expectation);
  const told = (byClock: boolean): Told | undefined =>
    follower.slip && { played: follower.played.length - 1, byClock, atMicros: follower.slip.atMicros };
  for (const { atMicros, apply } of events) {
    follower = passTime(follower, atMicros - 1);
    // What the clock tells before a note was not told with that note.
    if (follower.slip) return told(true);
    follower = apply(follower);
    if (follower.slip) return told(false);
  }
  follower = passTime(follower, events.at(-1)!.atMicros + 5_000_000);
  return told(true);
}
