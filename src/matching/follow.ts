// The match while it is played: the same hypotheses as in `align`, note by note, each decision made as soon as it is
// safe. A follower is a value: every call gives a new one and leaves the old one as it was. A decision stands, with one
// exception: when the player goes back, the notes from there on are open again, for the last try is the match.

import type { PlayedNote } from '../music/played-note.ts';
import { type Account, alignmentFrom, emptyAccount, kindOf, tell } from './account.ts';
import type { Alignment, ExtraKind, ExtraNote, NoteVerdict } from './alignment.ts';
import {
  agreed,
  descendants,
  type Heard,
  heardAlready,
  MARGIN,
  nextSlipMicros,
  slipIsCertain,
} from './commitment.ts';
import { type Deadline, deadlineOf, givenUp, passed } from './deadline.ts';
import { likeliestAtTheEnd } from './ending.ts';
import { FOLLOWING } from './evidence.ts';
import type { Expectation } from './expectation.ts';
import { bitCount, type Hypothesis, startHypothesis, stepsBetween } from './hypothesis.ts';
import { missingBy } from './left-behind.ts';
import { type NotesSoFar, noNotesYet, playedNote, playedNotes, released, struck } from './notes-so-far.ts';
import { nextShortlist, type Shortlist } from './shortlist.ts';
import { type Timetable, timetableOf } from './timetable.ts';
import { entries } from './trail.ts';

export interface Slip {
  readonly kind: 'wrong' | 'missed' | 'extra' | 'blip' | 'restart';
  readonly onset: number;
  /** When it became certain. */
  readonly atMicros: number;
}

export interface Follower {
  readonly expectation: Expectation;
  readonly played: readonly PlayedNote[];
  /** Index of the next expected onset whose notes are still open; the number of onsets when all are decided. */
  readonly position: number;
  /** By expected note, in order of onset and note: what is decided so far; undefined while open. */
  readonly committed: readonly (NoteVerdict | undefined)[];
  readonly extras: readonly ExtraNote[];
  /** The first slip that is certain. Its kind and onset can still change while the notes after it are in doubt. */
  readonly slip?: Slip;
  /** True when every required note of the last onset has been played, or its time has passed. */
  readonly complete: boolean;
  /** When something becomes true without input: call `passTime` then. */
  readonly nextDeadlineMicros?: number;
}

/** Fewer hypotheses than in `align`, for a note must be matched while it sounds. Fitted (16 to 64 tried). */
const SIZE = { width: 32, perOnset: 3, depth: 20, scouts: 30, jumps: FOLLOWING, keepsDoubt: true };

export function startFollowing(expectation: Expectation): Follower {
  const timetable = timetableOf(expectation);
  const start = startHypothesis();
  return new Following({
    expectation,
    timetable,
    soFar: noNotesYet(),
    shortlist: [start],
    decided: start,
    account: emptyAccount(timetable),
    lastMicros: Number.NEGATIVE_INFINITY,
    askedMicros: Number.NEGATIVE_INFINITY,
    slip: undefined,
    kindKnown: false,
  });
}

/**
 * After a note-on. Time passes up to (not including) its moment first: input comes before a deadline of that instant.
 */
export function follow(follower: Follower, note: PlayedNote): Follower {
  const state = passUntil(stateOf(follower), note.onMicros - 1);
  const soFar = struck(state.soFar, note);
  const shortlist = nextShortlist(
    state.shortlist,
    soFar.notes.shared,
    soFar.notes.length - 1,
    state.timetable,
    SIZE,
  );
  const lastMicros = Math.max(state.lastMicros, note.onMicros);
  const grown = { ...state, soFar, shortlist, lastMicros };
  return new Following(slipNow(commit(grown, agreed(shortlist, state.decided), lastMicros), lastMicros));
}

/** After a release. One without a note changes nothing. */
export function release(follower: Follower, pitch: number, atMicros: number): Follower {
  const state = passUntil(stateOf(follower), atMicros - 1);
  return new Following({ ...state, soFar: released(state.soFar, pitch, atMicros) });
}

/** When the clock has reached `atMicros`. Being told more often changes nothing. */
export function passTime(follower: Follower, atMicros: number): Follower {
  const state = stateOf(follower);
  const after = passUntil(state, atMicros);
  return after === state ? follower : new Following(after);
}

/** A whole alignment at any moment: what is decided, the likeliest for what is not yet, and the rest missed. */
export function alignmentSoFar(follower: Follower): Alignment {
  const { account, shortlist, decided, soFar, timetable } = stateOf(follower);
  const whole = tell(account, stepsBetween(decided, shortlist[0]!), timetable);
  return alignmentFrom(whole, playedNotes(soFar), timetable);
}

/**
 * What can be said of the notes that are not decided yet; of each note two notes later at the latest (commitment.ts).
 */
export function heardSoFar(follower: Follower): Heard[] {
  const { shortlist, decided } = stateOf(follower);
  return heardAlready(shortlist, decided);
}

interface State {
  readonly expectation: Expectation;
  readonly timetable: Timetable;
  readonly soFar: NotesSoFar;
  /** All grew from `decided`. */
  readonly shortlist: Shortlist;
  readonly decided: Hypothesis;
  /** What the path to `decided` says. */
  readonly account: Account;
  /** The latest moment that changed anything. */
  readonly lastMicros: number;
  /** The latest at which the clock alone could have told a slip. */
  readonly askedMicros: number;
  readonly slip: Slip | undefined;
  /** False while the slip's kind is only the likeliest one. */
  readonly kindKnown: boolean;
}

class Following implements Follower {
  readonly state: State;
  readonly complete: boolean;
  readonly position: number;
  readonly slip?: Slip;
  readonly nextDeadlineMicros?: number;
  #played: readonly PlayedNote[] | undefined;
  #committed: readonly (NoteVerdict | undefined)[] | undefined;
  #extras: readonly ExtraNote[] | undefined;

  constructor(state: State) {
    this.state = state;
    this.complete = isComplete(state);
    this.position = positionOf(state);
    if (state.slip) this.slip = state.slip;
    const deadline = deadlineIn(state);
    if (deadline) this.nextDeadlineMicros = deadline.atMicros;
  }

  get expectation(): Expectation {
    return this.state.expectation;
  }

  get played(): readonly PlayedNote[] {
    this.#played ??= playedNotes(this.state.soFar);
    return this.#played;
  }

  get committed(): readonly (NoteVerdict | undefined)[] {
    if (!this.#committed) {
      const { account, decided, timetable } = this.state;
      const { notes } = alignmentFrom(account, this.played, timetable);
      this.#committed = notes.map((n, slot) =>
        isDecided(slot, account, decided, timetable) ? n : undefined,
      );
    }
    return this.#committed;
  }

  get extras(): readonly ExtraNote[] {
    this.#extras ??= alignmentFrom(this.state.account, this.played, this.state.timetable).extras;
    return this.#extras;
  }
}

function stateOf(follower: Follower): State {
  if (!(follower instanceof Following)) throw new Error('Cannot follow: not a value of startFollowing');
  return follower.state;
}

function passUntil(state: State, atMicros: number): State {
  let now = state;
  for (let due = deadlineIn(now); due && due.atMicros <= atMicros; due = deadlineIn(now)) {
    if (due.kind === 'slip') {
      now = slipNow({ ...now, askedMicros: due.atMicros }, due.atMicros);
      continue;
    }
    const hypothesis = hypothesisAt(due, now);
    now = commit({ ...now, shortlist: [hypothesis], lastMicros: due.atMicros }, hypothesis, due.atMicros);
  }
  return now;
}

function hypothesisAt(
  { kind, atMicros }: Deadline,
  { shortlist, timetable, expectation }: State,
): Hypothesis {
  const best = shortlist[0]!;
  if (kind === 'decide') return likeliestAtTheEnd(shortlist, timetable);
  return kind === 'late' ? givenUp(best, atMicros) : passed(best, timetable, expectation);
}

function deadlineIn(state: State): Deadline | undefined {
  const decision = decisionIn(state);
  if (state.slip) return decision;
  const thenMicros = Math.max(state.lastMicros, state.askedMicros);
  const atMicros = nextSlipMicros(state.shortlist, thenMicros);
  return atMicros < (decision?.atMicros ?? Number.POSITIVE_INFINITY) ? { kind: 'slip', atMicros } : decision;
}

function decisionIn(state: State): Deadline | undefined {
  const { shortlist, decided, expectation, timetable, lastMicros } = state;
  const { shared, length } = state.soFar.notes;
  const gapMicros = length < 2 ? 0 : shared[length - 1]!.onMicros - shared[length - 2]!.onMicros;
  const times = { lastMicros, gapMicros };
  const deadline = deadlineOf(shortlist, decided, expectation, timetable, times);
  if (!deadline || deadline.atMicros >= lastMicros) return deadline;
  return { ...deadline, atMicros: lastMicros };
}

/** Makes the path to a hypothesis final and forgets the hypotheses that say otherwise. */
function commit(state: State, hypothesis: Hypothesis, atMicros: number): State {
  if (hypothesis === state.decided) return state;
  const { timetable } = state;
  const steps = stepsBetween(state.decided, hypothesis);
  const account = tell(state.account, steps, timetable);
  const next = {
    ...state,
    decided: hypothesis,
    account,
    shortlist: descendants(state.shortlist, hypothesis),
  };
  if (state.kindKnown) return next;
  const slip = slipIn(steps, account, hypothesis, state, state.slip?.atMicros ?? atMicros);
  return slip ? { ...next, slip, kindKnown: true } : next;
}

/** That there was a slip can be certain before its kind is: then the likeliest kind is told. */
function slipNow(state: State, atMicros: number): State {
  const { shortlist, decided, account, timetable } = state;
  const best = shortlist[0]!;
  if (state.slip || !slipIsCertain(shortlist, decided, atMicros)) return state;
  const steps = stepsBetween(decided, best);
  const slip = slipIn(steps, tell(account, steps, timetable), best, state, atMicros);
  return { ...state, slip: slip ?? missedSince(best, state, atMicros) };
}

/** A note left behind that is missing by now. */
function missedSince(best: Hypothesis, { timetable }: State, atMicros: number): Slip | undefined {
  const missing = missingBy(best.open, atMicros);
  return missing && { kind: 'missed', onset: timetable.slots[missing.slot]!.onset, atMicros };
}

function slipIn(
  steps: readonly Hypothesis[],
  account: Account,
  decided: Hypothesis,
  state: State,
  atMicros: number,
): Slip | undefined {
  for (const step of steps) {
    const left = step.before
      ? missedOnset(step.before.cursor, step, account, decided, state.timetable)
      : undefined;
    if (left !== undefined) return { kind: 'missed', onset: left, atMicros };
    const givenUpSlot = step.before && slotGivenUp(step.before, step, account);
    if (givenUpSlot !== undefined) {
      return { kind: 'missed', onset: state.timetable.slots[givenUpSlot]!.onset, atMicros };
    }
    if (step.wentBack) return { kind: 'restart', onset: step.cursor, atMicros };
    if (step.act === 'wrong') {
      return { kind: 'wrong', onset: state.timetable.slots[step.slot]!.onset, atMicros };
    }
    if (step.act === 'extra') {
      const kind = extraKind(step, account, state);
      if (kind === 'extra' || kind === 'blip' || kind === 'restart') {
        return { kind, onset: Math.min(step.cursor + 1, state.timetable.atMicros.length - 1), atMicros };
      }
    }
  }
  return undefined;
}

function extraKind(step: Hypothesis, account: Account, state: State): ExtraKind {
  const extra = entries(account.extras).find((e) => e.played === step.played);
  if (!extra) return 'extra';
  const sparse: PlayedNote[] = [];
  for (const fill of account.fills) if (fill >= 0) sparse[fill] = playedNote(state.soFar, fill);
  sparse[step.played] = playedNote(state.soFar, step.played);
  return kindOf(extra, account, sparse, state.timetable);
}

/** The first onset that a step has left with a required note unplayed that will not come any more. */
function missedOnset(
  from: number,
  step: Hypothesis,
  account: Account,
  decided: Hypothesis,
  timetable: Timetable,
): number | undefined {
  for (let onset = Math.max(0, from); onset <= Math.min(step.cursor, decided.cursor); onset++) {
    for (let p = timetable.firstSlot[onset]!; p < timetable.firstSlot[onset + 1]!; p++) {
      if (!timetable.slots[p]!.required || account.fills[p]! >= 0) continue;
      if (isDecided(p, account, decided, timetable)) return onset;
    }
  }
  return undefined;
}

/** The first slot that a step gives up waiting for. */
function slotGivenUp(before: Hypothesis, step: Hypothesis, account: Account): number | undefined {
  if (before.open === step.open) return undefined;
  const open = new Set(step.open.map(({ slot }) => slot));
  return before.open.find(({ slot }) => account.fills[slot]! < 0 && !open.has(slot))?.slot;
}

function isDecided(slot: number, account: Account, decided: Hypothesis, timetable: Timetable): boolean {
  if (account.fills[slot]! >= 0) return true;
  const { onset, note } = timetable.slots[slot]!;
  if (onset > decided.cursor) return false;
  if (onset === decided.cursor) return (decided.mask & (1 << note)) !== 0;
  return !decided.open.some((left) => left.slot === slot);
}

function positionOf({ decided, timetable }: State): number {
  if (decided.cursor < 0) return 0;
  return isFull(decided, timetable) ? decided.cursor + 1 : decided.cursor;
}

function isFull(hypothesis: Hypothesis, timetable: Timetable): boolean {
  return bitCount(timetable.requiredMask[hypothesis.cursor]! & ~hypothesis.mask) === 0;
}

/** All hypotheses that are still likely must say so: a run is not stopped on a guess. */
function isComplete({ shortlist, timetable }: State): boolean {
  const last = timetable.atMicros.length - 1;
  const limit = shortlist[0]!.cost + MARGIN.right;
  return shortlist.every((r) => r.cost > limit || (r.cursor === last && isFull(r, timetable)));
}
