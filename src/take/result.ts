// What a take was: the one place where it is decided, for takes that are played now, kept ones and recordings alike.

import { align } from '../matching/align.ts';
import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { Slip } from '../matching/follow.ts';
import { isOrnamentPitch } from '../music/onset.ts';
import type { PlayedNote } from '../music/played-note.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import { Remembered } from '../remembered.ts';
import { breathLevels } from './breath.ts';
import {
  beatsAway,
  isHeldOver,
  isShifted,
  type Matcher,
  type ShiftInTime,
  semitonesAway,
  shiftInTime,
} from './entry.ts';
import { judge } from './judge.ts';
import type { JudgeOptions } from './judge-options.ts';
import { pedalChanges } from './pedal.ts';
import {
  eventsIn,
  hasSlipped,
  hearingOf,
  type LineTake,
  matchAhead,
  matcherOf,
  matcherOnClick,
  playedIn,
  type Take,
  takeTime,
} from './take.ts';
import { holdMicros, verdictMicros } from './take-times.ts';
import { expectationOf } from './terms.ts';
import { WITH_CHORD_MICROS } from './troubles.ts';
import type { TakeVerdict, Trouble } from './verdict.ts';

/** Where a take was stopped before its run's own stop. */
export interface EarlyStop {
  /** Beat boundary at which the run was cut after a slip. */
  readonly cutTick?: number;
  /** Whether anybody slipped: then a player who stopped there has not missed the rest. */
  readonly slipped: boolean;
}

export interface TakeResult {
  readonly verdict: TakeVerdict;
  /** The notes that were judged: the verdict's indexes point into them. */
  readonly played: readonly PlayedNote[];
  /** Right in everything, and played to the run's own stop: what the gate counts, and nothing else is clean. */
  readonly clean: boolean;
  /** All notes that were played were shifted alike, but they were too few to say so of the take. */
  readonly shift?: ShiftInTime;
  /** The slip of this player for which the run was cut. */
  readonly stoppedFor?: Slip;
}

/** By player. */
export function takeResults(take: Take): readonly TakeResult[] {
  const stop = earlyStopOf(take);
  return take.lines.map((line) => lineResult(line, stop));
}

/** Matches a few more of the notes that have come, so that little is left of it at the verdict; false when none is. */
export function matchTakeAhead({ lines }: Take): boolean {
  return lines.some(matchAhead);
}

/**
 * Works out one more player's result as it will be at the verdict if nothing more comes, so that the verdict on many
 * need not wait for all of them at once. False when there is nothing left to work out.
 */
export function judgeAhead(take: Take): boolean {
  const then = atVerdict(take);
  if (!then) return false;
  const stop = earlyStopOf(then);
  const left = then.lines.filter((line) => RESULTS.known(line.terms, playingOf(line, stop)) === undefined);
  if (left.length === 0) return false;
  // Players who have not come to the stop yet may still play a note and would have to be judged again.
  const lastMicros = (line: LineTake) => hearingOf(line).lastNoteMicros ?? 0;
  lineResult(
    left.reduce((a, b) => (lastMicros(b) > lastMicros(a) ? b : a)),
    stop,
  );
  return true;
}

/** The take as it will be when its verdict is given if nothing more comes; undefined while that has no time. */
export function atVerdict(take: Take): Take | undefined {
  const verdict = verdictMicros(take);
  return verdict === undefined ? undefined : takeTime(take, verdict);
}

export function earlyStopOf(take: Take): EarlyStop {
  return { ...(take.cutTick === undefined ? {} : { cutTick: take.cutTick }), slipped: hasSlipped(take) };
}

/** What a line came to, by its terms: the same line is asked for with every frame that shows its verdict. */
const RESULTS = new Remembered<LineTake['terms'], TakeResult>();

/** All that decides the result of a line besides its terms. */
function playingOf({ soFar, passedMicros }: LineTake, { cutTick, slipped }: EarlyStop): readonly unknown[] {
  return [soFar, passedMicros, cutTick, slipped];
}

/** After a slip only what lies before the stop is judged. */
export function lineResult(line: LineTake, stop: EarlyStop): TakeResult {
  const known = RESULTS.known(line.terms, playingOf(line, stop));
  if (known) return known;
  const { follower, ranOn } = hearingOf(line);
  const whole = expectationOf(line.terms);
  const tried = stop.slipped && follower ? triedPart(line, stop, whole) : undefined;
  const { expectation, played, match } = tried ?? {
    expectation: whole,
    played: playedIn(line),
    match: matcherOnClick(line.terms),
  };
  const { tolerance, run, usual, evenTouch } = line.terms;
  const beyond = whole.onsets.length - expectation.onsets.length;
  const all = allNotes(line);
  const ornament = ornamentAtTheEnd(line, all);
  const withLast = beyond === 0 ? struckWithLast(line, all).filter((note) => !isAmong(note, ornament)) : [];
  const result = withPlace(
    judgedNotes(expectation, [...played, ...withLast], eventsIn(line), {
      match,
      matchWhole: matcherOf(line.terms),
      tolerance,
      ranOn: ranOn - withLast.length - ornament.length,
      whole,
      ...heldBy(ornament, line),
      untilMicros: line.passedMicros ?? Number.POSITIVE_INFINITY,
      ...(evenTouch ? { evenTouch } : {}),
      ...(usual?.lagMicros === undefined ? {} : { usualLagMicros: usual.lagMicros }),
      ...(usual?.stretch === undefined ? {} : { usualStretch: usual.stretch }),
      ...(run.landing && beyond === 0 && !isMarkedShort(line) ? { holdMicros: holdMicros(run) } : {}),
    }),
    line,
    all,
  );
  const cut = stop.cutTick !== undefined;
  const slip = cut ? follower?.slip : undefined;
  const told = { ...result, clean: result.clean && !cut, ...(slip ? { stoppedFor: slip } : {}) };
  return RESULTS.keep(line.terms, told, playingOf(line, stop));
}

/** The right notes at the wrong place are no wrong notes, and their place alone is told. */
function withPlace(result: TakeResult, { terms }: LineTake, notes: readonly PlayedNote[]): TakeResult {
  if (result.clean || terms.run.pulse === 'free' || terms.line.onsets.length === 0) return result;
  const expectation = expectationOf(terms);
  const beats = beatsAway(expectation, notes, matcherOf(terms));
  if (beats !== undefined) return toldAs(result, { kind: 'entered', beats });
  if (terms.joined && isHeldOver(expectation, notes)) return toldAs(result, { kind: 'tied-over' });
  // What was still played of the run before, into the lead-in, is no evidence.
  const entered = notes.filter(({ onMicros }) => onMicros >= terms.opensMicros);
  const shift = shiftInTime(expectation, entered);
  if (!shift) return result;
  return isShifted(shift, -terms.line.transposition)
    ? toldAs(result, semitonesTrouble(shift.semitones))
    : { ...result, shift };
}

function toldAs(result: TakeResult, trouble: Trouble): TakeResult {
  return { ...result, verdict: { ...result.verdict, clean: false, troubles: [trouble] }, clean: false };
}

function semitonesTrouble(semitones: number): Trouble {
  return semitones % 12 === 0
    ? { kind: 'octave', octaves: semitones / 12 }
    : { kind: 'transposed', semitones };
}

/** Notes after the last onset was complete that were struck with it: added to it, and not run on. */
function struckWithLast(line: LineTake, all: readonly PlayedNote[]): PlayedNote[] {
  const { completeMicros } = hearingOf(line);
  if (completeMicros === undefined) return [];
  const lastMicros = playedIn(line).at(-1)?.onMicros ?? Number.NEGATIVE_INFINITY;
  return all.filter(
    ({ onMicros }) => onMicros > completeMicros && onMicros <= lastMicros + WITH_CHORD_MICROS,
  );
}

function isAmong({ onMicros, pitch }: PlayedNote, notes: readonly PlayedNote[]): boolean {
  return notes.some((note) => note.onMicros === onMicros && note.pitch === pitch);
}

/** The notes after the last onset was complete that belong to its trill, mordent or turn: it goes on while it is held. */
function ornamentAtTheEnd(line: LineTake, all: readonly PlayedNote[]): PlayedNote[] {
  const { completeMicros = Number.POSITIVE_INFINITY } = hearingOf(line);
  const ornamented = (line.terms.line.onsets.at(-1)?.notes ?? []).filter(
    ({ ornament }) => ornament !== undefined && ornament !== 'grace',
  );
  if (ornamented.length === 0) return [];
  const after = all.filter(
    ({ onMicros, pitch }) =>
      onMicros > completeMicros && ornamented.some((note) => isOrnamentPitch(note.pitch, pitch)),
  );
  // One note by itself, long after the last, is no ornament: the player went on.
  const near = (micros: number, other = Number.NEGATIVE_INFINITY) =>
    Math.abs(other - micros) <= ORNAMENT_GAP_MICROS;
  return after.filter(
    ({ onMicros }, i) =>
      near(onMicros, after[i - 1]?.onMicros ?? completeMicros) || near(onMicros, after[i + 1]?.onMicros),
  );
}

/** Ornaments are quick (as in matching): a longer gap than this ends one. Judgement. */
const ORNAMENT_GAP_MICROS = 300_000;

/** A trill is held to its last note. */
function heldBy(ornament: readonly PlayedNote[], line: LineTake): Pick<JudgeOptions, 'heldUntilMicros'> {
  const last = ornament.at(-1);
  if (!last) return {};
  const release = eventsIn(line).find(
    (event) =>
      event.type === 'note-off' &&
      event.at >= last.onMicros &&
      event.pitch + line.terms.shiftSemitones === last.pitch,
  );
  return { heldUntilMicros: release?.at ?? Number.POSITIVE_INFINITY };
}

/** From the lead-in on, those before the entry included. */
function allNotes(line: LineTake): PlayedNote[] {
  return eventsIn(line).flatMap((event) =>
    event.type === 'note-on'
      ? [{ pitch: event.pitch + line.terms.shiftSemitones, onMicros: event.at, velocity: event.velocity }]
      : [],
  );
}

/** A staccato landing, and one before a rest, is let go as it is written. */
function isMarkedShort({ terms: { line } }: LineTake): boolean {
  const landing = line.onsets.at(-1);
  if (!landing) return true;
  const staccato = landing.notes.some(({ articulations }) => articulations?.includes('staccato') === true);
  return staccato || landing.restAfter === true;
}

/** What the events do not tell themselves. */
interface GivenOptions extends Omit<JudgeOptions, 'pedal' | 'breath'> {
  /** How the notes are matched with what is expected, and any notes with `whole`, where that may be known already. */
  readonly match?: Matcher;
  readonly matchWhole?: Matcher;
}

/** Notes with no click, lead-in or stop of ours, as in a recording: all of them are the take. */
export function judgedNotes(
  expectation: Expectation,
  played: readonly PlayedNote[],
  events: readonly PlayerEvent[],
  options: GivenOptions,
): TakeResult {
  if (expectation.onsets.length === 0) {
    const verdict = restVerdict(options);
    return { verdict, played, clean: verdict.clean };
  }
  const { whole = expectation } = options;
  const {
    match = (notes) => align(expectation, notes),
    matchWhole = (notes) => align(whole, notes),
    ...given
  } = options;
  const breath = breathLevels(played, events);
  const all = { ...given, pedal: pedalChanges(events), ...(breath ? { breath } : {}) };
  const verdict = judge(expectation, played, match(played), all);
  const away = verdict.clean ? 0 : semitonesAway(whole, played, matchWhole);
  if (away === 0) return { verdict, played, clean: verdict.clean };
  const moved = played.map((note) => ({ ...note, pitch: note.pitch - away }));
  const isAll = whole.onsets.length === expectation.onsets.length;
  const there = judge(expectation, moved, isAll ? matchWhole(moved) : align(expectation, moved), all);
  const trouble = semitonesTrouble(away);
  const others = there.troubles.filter(({ kind }) => kind !== 'octave');
  return { verdict: { ...there, clean: false, troubles: [trouble, ...others] }, played, clean: false };
}

/** Of a player who rests through the run: every note is one too many. */
function restVerdict({ tolerance, ranOn: notes = 0 }: GivenOptions): TakeVerdict {
  return {
    clean: notes === 0,
    troubles: notes === 0 ? [] : [{ kind: 'ran-on', notes }],
    notes: [],
    extras: [],
    intervals: [],
    onsetMicros: [],
    spreadMicros: [],
    joints: [],
    pace: 1,
    tolerance,
  };
}

/**
 * What was tried of a run that was stopped for a slip: a player who stops there has not missed the rest. All that was
 * played is matched with all that was asked, for what came after the slip tells what it was: a note left out or a wrong
 * one. Then what lies past the stop is left out of both. Undefined where nothing does.
 */
function triedPart(line: LineTake, { cutTick }: EarlyStop, whole: Expectation) {
  const { run } = line.terms;
  const all = playedIn(line);
  const matched = matcherOnClick(line.terms)(all);
  const { notes, extras } = matched;
  const stopTick = cutTick ?? run.stopTick;
  const slip = hearingOf(line).follower?.slip?.onset ?? 0;
  const last = Math.max(0, slip, ...notes.flatMap((note) => (note.played === undefined ? [] : note.onset)));
  const before = whole.onsets.findLastIndex((onset) => onset.tick <= stopTick);
  const stopped = Math.min(last, Math.max(0, before));
  // A blip stands between two right notes: the second of them may have come after the stop.
  const isCutThrough = extras.some((extra) => extra.kind === 'blip' && extra.before === stopped + 1);
  const reached = isCutThrough ? stopped + 1 : stopped;
  if (reached === whole.onsets.length - 1) return undefined;
  const { alignment, kept } =
    WITHIN.known(matched, [reached]) ?? WITHIN.keep(matched, matchedWithin(matched, reached), [reached]);
  return {
    expectation: { ...whole, onsets: whole.onsets.slice(0, reached + 1) },
    played: kept.map((index) => all[index]!),
    match: () => alignment,
  };
}

const WITHIN = new Remembered<Alignment, ReturnType<typeof matchedWithin>>();

/** The part of a match up to the onset reached, and which notes are left in it. */
function matchedWithin({ notes, extras }: Alignment, reached: number) {
  const within = {
    notes: notes.filter(({ onset }) => onset <= reached),
    extras: extras.filter(
      ({ before, kind }) => before <= reached || (before === reached + 1 && kind !== 'blip'),
    ),
  };
  const kept = [...within.notes, ...within.extras]
    .flatMap(({ played }) => played ?? [])
    .sort((a, b) => a - b);
  const places = new Map(kept.map((index, i) => [index, i]));
  const moved = <T extends { readonly played?: number }>(one: T): T =>
    one.played === undefined ? one : { ...one, played: places.get(one.played)! };
  const alignment: Alignment = { notes: within.notes.map(moved), extras: within.extras.map(moved) };
  return { alignment, kept };
}
