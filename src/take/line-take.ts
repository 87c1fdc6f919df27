// One player's take of a line on its way. What is kept of it is plain data: the terms, the events as they came, and how
// far time has passed. What has been heard in them follows from that alone, however often and in whatever order the
// events were told: it is remembered beside them only so that it need not be worked out anew with every note.

import { type Follower, follow, passTime, release, startFollowing } from '../matching/follow.ts';
import type { PlayedNote } from '../music/played-note.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import { type EventsSoFar, latest, withLate, withLatest } from './events-so-far.ts';
import { expectationOf, type TakeTerms } from './terms.ts';

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
  const known = hearings.get(line);
  if (known) return known;
  const { passedMicros = Number.NEGATIVE_INFINITY } = line;
  const all = eventsIn(line).reduce<Hearing>(
    (hearing, event) => heard(hearing, line, event),
    silence(line.terms),
  );
  const hearing = timePassed(all, passedMicros);
  hearings.set(line, hearing);
  return hearing;
}

/** By time. */
export function eventsIn({ soFar }: LineTake): readonly PlayerEvent[] {
  const known = inOrder.get(soFar);
  if (known) return known;
  const events = soFar.flat();
  inOrder.set(soFar, events);
  return events;
}

const inOrder = new WeakMap<LineTake['soFar'], readonly PlayerEvent[]>();

/** Notes where the player rests are none of the line; everywhere else they are what the follower was told. */
export function playedIn(line: LineTake): readonly PlayedNote[] {
  return hearingOf(line).follower?.played ?? [];
}

const hearings = new WeakMap<LineTake, Hearing>();

function remembered(line: LineTake, hearing: Hearing): LineTake {
  hearings.set(line, hearing);
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
