// One take on its way: the step as it was asked, where it lies in time, and what each player has sent so far. Plain data.
// What has been heard in a line follows from its terms, its events and how far time has passed alone, however often and
// in whatever order the events were told: it is remembered beside them only so that it need not be worked out anew with
// every note. So is how the notes match, which is dear and begun while they are played. When a take stops and is judged
// is in take-times.ts.

import type { Run } from '../drills/step.ts';
import { align, alignAhead } from '../matching/align.ts';
import type { Alignment } from '../matching/alignment.ts';
import { type Follower, follow, passTime, release, startFollowing } from '../matching/follow.ts';
import type { MatchSoFar } from '../matching/match-so-far.ts';
import type { PlayedNote } from '../music/played-note.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import { tickAt } from '../music/timing.ts';
import { Remembered } from '../remembered.ts';
import { byClick } from './by-click.ts';
import type { Matcher } from './entry.ts';
import { type EventsSoFar, latest, withLate, withLatest } from './events-so-far.ts';
import { expectationOf, type TakeTerms } from './terms.ts';

export interface Take {
  readonly run: Run;
  /** How often this step has been tried, from 1. */
  readonly attempt: number;
  /** Played time of the step's tick 0; for a free step the earliest time of its first note. */
  readonly zeroMicros: number;
  /** First click of the lead-in, or the entry where there is none. */
  readonly beginMicros: number;
  /** Slips do not stop it (a survey). */
  readonly unstopped: boolean;
  /** Players whose slips stop nobody, as indexes. */
  readonly spared?: readonly number[];
  /** So many of the others may slip before the run stops; 0 where not told. */
  readonly slipsAllowed?: number;
  /** Where the run stops after a slip: a beat boundary before the run's own stop. */
  readonly cutTick?: number;
  /** By player. */
  readonly lines: readonly LineTake[];
}

/** Something a player sent; what is no note is kept, too. After a slip the run goes on to the next beat and stops there. */
export function takeEvent(take: Take, player: number, event: PlayerEvent): Take {
  const lines = take.lines.with(player, withEvent(take.lines[player]!, event));
  return cutAfterSlip({ ...take, lines });
}

/** The clock has reached `at`. */
export function takeTime(take: Take, at: number): Take {
  return cutAfterSlip({ ...take, lines: take.lines.map((line) => withTime(line, at)) });
}

function cutAfterSlip(take: Take): Take {
  const { run, zeroMicros, cutTick, unstopped } = take;
  if (run.pulse === 'free' || unstopped) return take;
  const slip = stoppingSlipMicros(take);
  if (slip === undefined) return take;
  const slipTick = tickAt(run, slip - zeroMicros);
  const boundary = run.beats.find((tick) => tick > slipTick);
  // Of several players one may be told of a little later than another: the earliest slip decides, whenever it is told.
  const before = Math.min(run.stopTick, cutTick ?? run.stopTick);
  return boundary === undefined || boundary >= before ? take : { ...take, cutTick: boundary };
}

/** When the slip came that is one too many; undefined where none has. */
function stoppingSlipMicros({ lines, spared = [], slipsAllowed = 0 }: Take): number | undefined {
  const slips = lines.flatMap((line, i) => {
    const { follower, lastNoteMicros } = hearingOf(line);
    // Of several, one who has not played a note holds up nobody.
    const absent = lines.length > 1 && lastNoteMicros === undefined;
    return absent || spared.includes(i) ? [] : (follower?.slip?.atMicros ?? []);
  });
  return slips.sort((a, b) => a - b)[slipsAllowed];
}

/** Slips that stop the take have been played. */
export function hasSlipped(take: Take): boolean {
  return !take.unstopped && (take.cutTick !== undefined || stoppingSlipMicros(take) !== undefined);
}

/** Entered straight from the landing before, without a lead-in. */
export function isJoined(take: Take): boolean {
  return take.lines.some(({ terms }) => terms.joined === true);
}

/** Clicks are counted before the run. */
export function isCountedIn(take: Take): boolean {
  return !isJoined(take) && take.run.clicks.some(({ tick }) => tick < take.run.startTick);
}

/** Nothing has been played that counts. */
export function isUnbegun(take: Take): boolean {
  return take.lines.every((line) => hearingOf(line).lastNoteMicros === undefined);
}

/** One player's line of a take. */
export interface LineTake {
  readonly terms: TakeTerms;
  /** All that came since the last verdict, judged or not, as it came. */
  readonly soFar: EventsSoFar;
  /** Time has passed up to and including here; absent before anything became true by time alone. */
  readonly passedMicros?: number;
}

/** What has been heard of a line so far. */
export interface Hearing {
  /** Absent where the line has no onsets: the player rests. */
  readonly follower?: Follower;
  /** Notes after the last onset was complete, or where the player rests. */
  readonly ranOn: number;
  /** When the last note that counts was played. */
  readonly lastNoteMicros?: number;
  /** When the last onset was complete, or its time had passed. */
  readonly completeMicros?: number;
}

export function startLine(terms: TakeTerms): LineTake {
  return { terms, soFar: [] };
}

/** With one more event. One that comes late is put where its time is. */
export function withEvent(line: LineTake, event: PlayerEvent): LineTake {
  const { soFar, passedMicros = Number.NEGATIVE_INFINITY } = line;
  const inOrder = event.at > passedMicros && event.at >= (latest(soFar)?.at ?? event.at);
  return inOrder
    ? remembered({ ...line, soFar: withLatest(soFar, event) }, heard(hearingOf(line), line, event))
    : { ...line, soFar: withLate(soFar, event) };
}

/** With time passed up to and including a moment: notes that can no longer come are missed. */
export function withTime(line: LineTake, atMicros: number): LineTake {
  if (atMicros <= (line.passedMicros ?? Number.NEGATIVE_INFINITY)) return line;
  return remembered({ ...line, passedMicros: atMicros }, timePassed(hearingOf(line), atMicros));
}

export function hearingOf(line: LineTake): Hearing {
  const known = HEARINGS.known(line);
  if (known) return known;
  const { passedMicros = Number.NEGATIVE_INFINITY } = line;
  const all = eventsIn(line).reduce<Hearing>(
    (hearing, event) => heard(hearing, line, event),
    silence(line.terms),
  );
  return HEARINGS.keep(line, timePassed(all, passedMicros));
}

const HEARINGS = new Remembered<LineTake, Hearing>();

/** By time. */
export function eventsIn({ soFar }: LineTake): readonly PlayerEvent[] {
  return IN_ORDER.known(soFar) ?? IN_ORDER.keep(soFar, soFar.flat());
}

const IN_ORDER = new Remembered<EventsSoFar, readonly PlayerEvent[]>();

/** Notes where the player rests are none of the line; everywhere else they are what the follower was told. */
export function playedIn(line: LineTake): readonly PlayedNote[] {
  return hearingOf(line).follower?.played ?? [];
}

function remembered(line: LineTake, hearing: Hearing): LineTake {
  HEARINGS.keep(line, hearing);
  return line;
}

function silence(terms: TakeTerms): Hearing {
  return terms.line.onsets.length === 0
    ? { ranOn: 0 }
    : { ranOn: 0, follower: startFollowing(expectationOf(terms)) };
}

/** At one instant input comes before what time alone makes true. */
function heard(before: Hearing, { terms }: LineTake, event: PlayerEvent): Hearing {
  const hearing = timePassed(before, event.at - 1);
  const { follower } = hearing;
  if (event.type === 'note-off' && follower)
    return { ...hearing, follower: release(follower, event.pitch + terms.shiftSemitones, event.at) };
  if (event.type !== 'note-on' || event.at < terms.opensMicros) return hearing;
  const counted = { ...hearing, lastNoteMicros: event.at };
  if (!follower || follower.complete) return { ...counted, ranOn: hearing.ranOn + 1 };
  const { at: onMicros, velocity } = event;
  const note: PlayedNote = { pitch: event.pitch + terms.shiftSemitones, onMicros, velocity };
  return settled({ ...counted, follower: follow(follower, note) }, onMicros);
}

/** Every deadline at its own moment, whenever anyone looks. */
function timePassed(before: Hearing, untilMicros: number): Hearing {
  let hearing = before;
  for (;;) {
    const { follower } = hearing;
    const due = follower?.nextDeadlineMicros;
    if (!follower || due === undefined || due > untilMicros) return hearing;
    const after = passTime(follower, due);
    if (after === follower) throw new Error(`A deadline at ${due} changes nothing`);
    hearing = settled({ ...hearing, follower: after }, due);
  }
}

function settled(hearing: Hearing, at: number): Hearing {
  return hearing.follower?.complete && hearing.completeMicros === undefined
    ? { ...hearing, completeMicros: at }
    : hearing;
}

interface Matches {
  readonly soFar?: MatchSoFar;
  /** The latest first. */
  readonly made: readonly { readonly played: readonly PlayedNote[]; readonly alignment: Alignment }[];
}

/** The notes as they came, with those before the entry, and moved by semitones. */
const MADE_MOST = 3;

const MATCHES = new Remembered<TakeTerms, Matches>();
const NO_MATCHES: Matches = { made: [] };

/**
 * How the notes of a line match what is expected of it. What comes after the last note (a release, a breath) changes
 * nothing: it is not matched again.
 */
export function matcherOf(terms: TakeTerms): Matcher {
  return (played) => {
    const matches = MATCHES.known(terms) ?? NO_MATCHES;
    const known = matches.made.find((one) => isSamePlaying(one.played, played));
    if (known) return known.alignment;
    const alignment = align(expectationOf(terms), played, matches.soFar);
    MATCHES.keep(terms, {
      ...matches,
      made: [{ played, alignment }, ...matches.made].slice(0, MADE_MOST),
    });
    return alignment;
  };
}

/** The same, told by the click where that tells more. */
export function matcherOnClick(terms: TakeTerms): Matcher {
  const match = matcherOf(terms);
  return (played) => {
    const alignment = match(played);
    return (
      ON_CLICK.known(alignment) ?? ON_CLICK.keep(alignment, byClick(expectationOf(terms), played, alignment))
    );
  };
}

const ON_CLICK = new Remembered<Alignment, Alignment>();

/** Matches a few of the notes that have come; false when all of them are. */
export function matchAhead(line: LineTake): boolean {
  const { terms, soFar: events } = line;
  if (terms.line.onsets.length === 0 || SEARCHED.known(terms, [events])) return false;
  const matches = MATCHES.known(terms) ?? NO_MATCHES;
  const soFar = alignAhead(expectationOf(terms), playedIn(line), matches.soFar);
  if (soFar === undefined || soFar === matches.soFar) {
    SEARCHED.keep(terms, events, [events]);
    return false;
  }
  MATCHES.keep(terms, { ...matches, soFar });
  return true;
}

/** Of these events all that can be matched ahead is. */
const SEARCHED = new Remembered<TakeTerms, LineTake['soFar']>();

/** What was begun takes room, and is of no use once the take is over. */
export function forgetMatches(terms: TakeTerms): void {
  MATCHES.forget(terms);
}

function isSamePlaying(one: readonly PlayedNote[], other: readonly PlayedNote[]): boolean {
  return (
    one.length === other.length &&
    one.every(({ onMicros, pitch }, i) => onMicros === other[i]!.onMicros && pitch === other[i]!.pitch)
  );
}
