// What `follow` decided about each played note, and when: the decision as it stood at the moment of its commitment.

import {
  alignmentSoFar,
  type Follower,
  follow,
  heardSoFar,
  passTime,
  release,
  startFollowing,
} from '../../src/matching/follow.ts';
import type { Case, ConvertedCase } from './matching-cases.ts';

export interface Decision {
  readonly perfId: string;
  /** The score note that it was said to be; null for none (wrong or added). */
  readonly scoreId: string | null;
  /** From the note to its decision. */
  readonly waitedMs: number;
  readonly waitedNotes: number;
}

export interface Followed {
  readonly decisions: readonly Decision[];
  /** Pairs at the end, restarts taken into account. */
  readonly matches: readonly (readonly [scoreId: string, perfId: string])[];
}

export function followCase(c: ConvertedCase): Followed {
  const decisions = new Map<number, Decision>();
  let follower = startFollowing(c.expectation);
  const look = (atMicros: number): void => {
    for (const [played, scoreId] of decided(follower, c)) {
      if (decisions.has(played)) continue;
      const waited = atMicros - c.played[played]!.onMicros;
      const notes = follower.played.length - 1 - played;
      const perfId = c.perfIds[played]!;
      decisions.set(played, { perfId, scoreId, waitedMs: waited / 1000, waitedNotes: notes });
    }
  };
  const passTo = (atMicros: number): void => {
    for (let due = follower.nextDeadlineMicros; due !== undefined && due < atMicros; ) {
      follower = passTime(follower, due);
      look(due);
      due = follower.nextDeadlineMicros;
    }
  };
  for (const event of eventsOf(c)) {
    passTo(event.atMicros);
    follower = event.apply(follower);
    look(event.atMicros);
  }
  passTo((c.played.at(-1)?.onMicros ?? 0) + 5_000_000);
  const matches = alignmentSoFar(follower)
    .notes.filter((n) => n.verdict === 'right')
    .map((n) => [c.scoreIds[n.onset]![n.note]!, c.perfIds[n.played!]!] as const);
  return { decisions: [...decisions.values()], matches };
}

/** What a follower is told of a case, note-ons and releases, in the order of time. */
export function eventsOf({ played }: ConvertedCase) {
  return played
    .flatMap(({ pitch, onMicros, offMicros, velocity }) => [
      { atMicros: onMicros, apply: (f: Follower) => follow(f, { pitch, onMicros, velocity }) },
      { atMicros: offMicros ?? onMicros, apply: (f: Follower) => release(f, pitch, offMicros ?? onMicros) },
    ])
    .sort((a, b) => a.atMicros - b.atMicros);
}

function decided(follower: Follower, c: ConvertedCase): [played: number, scoreId: string | null][] {
  const right = follower.committed.flatMap((n): [number, string | null][] =>
    n?.played === undefined ? [] : [[n.played, n.verdict === 'right' ? c.scoreIds[n.onset]![n.note]! : null]],
  );
  const heard = heardSoFar(follower).map(({ played, slot }): [number, string | null] => [
    played,
    slot === 'none' ? null : c.scoreIds.flat()[slot]!,
  ]);
  return [...right, ...follower.extras.map((e): [number, null] => [e.played, null]), ...heard];
}

export interface OnlineFigures {
  decisions: number;
  right: number;
  rightAtOnce: number;
  rightWithinTwo: number;
  waitedMs: number[];
}

/** Counts a case's decisions against its truth; where several answers are right, any of them. */
export function count(figures: OnlineFigures, given: Case, decisions: readonly Decision[]): void {
  const accepted = acceptedAnswers(given, decisions);
  figures.decisions += given.performance.length;
  for (const { perfId, scoreId, waitedMs, waitedNotes } of decisions) {
    figures.waitedMs.push(waitedMs);
    if (!accepted(perfId, scoreId)) continue;
    figures.right++;
    if (waitedNotes === 0) figures.rightAtOnce++;
    if (waitedNotes <= 2) figures.rightWithinTwo++;
  }
}

function acceptedAnswers(
  { truth, score }: Case,
  decisions: readonly Decision[],
): (perfId: string, scoreId: string | null) => boolean {
  const key = new Map(score.map((n) => [n.id, `${n.onsetBeats} ${n.pitch}`]));
  const answers = new Map<string, Set<string | null>>();
  const accept = (perfId: string, scoreId: string | null): void => {
    const set = answers.get(perfId) ?? new Set();
    set.add(scoreId === null ? null : key.get(scoreId)!);
    answers.set(perfId, set);
  };
  for (const [s, p] of truth.matches) accept(p, s);
  for (const [, p] of truth.substitutions) accept(p, null);
  for (const p of truth.extra) accept(p, null);
  // While a try was being played nobody could know that it would be given up.
  for (const [s, others] of Object.entries(truth.alternatives ?? {})) {
    for (const p of others) accept(p, s);
    // Where the other of two as good answers was taken, the first is the added one.
    const taken = decisions.some((d) => d.scoreId === s && others.includes(d.perfId));
    const match = truth.matches.find(([scoreId]) => scoreId === s);
    if (taken && match) accept(match[1], null);
  }
  return (perfId, scoreId) => answers.get(perfId)?.has(scoreId === null ? null : key.get(scoreId)!) ?? false;
}

export function summary(f: OnlineFigures): string {
  const share = (n: number): string => `${((100 * n) / f.decisions).toFixed(2)} %`;
  const rising = f.waitedMs.slice().sort((a, b) => a - b);
  const at = (q: number): string =>
    `${Math.round(rising[Math.min(rising.length - 1, Math.floor(q * rising.length))] ?? 0)} ms`;
  return (
    `online: ${f.decisions} decisions, right when committed ${share(f.right)}, right at once ${share(f.rightAtOnce)}, ` +
    `right within two notes ${share(f.rightWithinTwo)}; waited p50 ${at(0.5)}, p95 ${at(0.95)}, p99 ${at(0.99)}`
  );
}
