// What a take of a section was, in words: one sentence for all of them, and one for each, the most useful first.

import { beatGrid } from '../drills/beat-grid.ts';
import { placeName } from '../drills/place-name.ts';
import type { Passage } from '../music/passage.ts';
import type { Attendance } from '../record/played-together.ts';
import type { SectionPlayerVerdict, SectionVerdict } from '../section/section-verdict.ts';
import type { PlayerPlace } from '../section/together.ts';
import type { SectionReport } from '../session/section-report.ts';
import type { Trouble } from '../take/verdict.ts';
import { asSentence, lowered } from './counted.ts';
import { millis } from './figures.ts';
import { takeSentence } from './sentence.ts';

/** Two onsets further apart than this are heard as two (75 % right on their order at 22 ms: Sapp 2005). */
const HEARD_APART_MICROS = 22_000;
/** As deep as the words of a plain line begin. */
const INDENT = ' '.repeat(10);

export interface ToldPlayer {
  /** Index among the players. */
  readonly player: number;
  readonly name: string;
  readonly clean: boolean;
  readonly words: string;
}

/**
 * The one thing that the section should hear now.
 * @example 'Oboe and Clarinet are 35 ms apart at bar 3, beat 2: listen to Oboe.'
 */
export function sectionSentence({ verdict, takes }: SectionReport, passage: Passage): string {
  const { players, counted } = verdict;
  if (counted === 0) return 'Nobody who counts was there: the step stays.';
  const astray = players.findIndex(({ playedPartOf }) => playedPartOf !== undefined);
  if (astray >= 0) {
    const { name, playedPartOf } = players[astray]!;
    return `${name} played the part of ${players[playedPartOf!]!.name}.`;
  }
  const place = placesOf(verdict, passage);
  const own = (player: number) => ownSentence({ verdict, takes }, player, passage);
  return (
    hurriedSentence({ verdict, takes }) ??
    brokenSentence(verdict, place, own) ??
    offSentence({ verdict, takes }, own) ??
    apartSentence(verdict, place) ??
    wellSentence(verdict)
  );
}

/** Everybody's own sentence. Who is not listened to has none. */
export function playerLines({ verdict, takes }: SectionReport, passage: Passage): ToldPlayer[] {
  return verdict.players
    .flatMap((one, player) =>
      one.attendance === 'muted'
        ? []
        : [
            {
              player,
              name: one.name,
              clean: one.clean,
              words: playerWords(one, verdict, () =>
                isCutShort(one, takes[player]!)
                  ? STOPPED_EARLY
                  : ownSentence({ verdict, takes }, player, passage),
              ),
              rank: rankOf(one, verdict),
            },
          ],
    )
    .sort((a, b) => a.rank - b.rank)
    .map(({ rank: _, ...line }) => line);
}

/** As of a player alone; where a lag of unknown origin is all that is wrong, with what else it may be. */
function ownSentence({ verdict, takes }: SectionReport, player: number, passage: Passage): string {
  const take = takes[player]!;
  const isOff = take.verdict.troubles.some((trouble) => trouble.kind === 'placed' && trouble.whole);
  const said = takeSentence(take, passage);
  return isOff ? `${said}${setUpWords(verdict, verdict.players[player]!.name)}` : said;
}

/** All that there is to say of a take: the section in one line, everybody under it. `standing`: at the gate, a clause. */
export function sectionLines(report: SectionReport, passage: Passage, standing?: string): string[] {
  const { verdict } = report;
  const sum = sectionSum(verdict);
  return [
    `${mark(verdict.clean)} ${sectionSentence(report, passage)} (${standing === undefined ? sum : `${sum}; ${standing}`})`,
    ...playerLines(report, passage).map(
      ({ name, clean, words }) => `${INDENT}${mark(clean)} ${name}: ${words}`,
    ),
  ];
}

function mark(clean: boolean): string {
  return clean ? '+' : 'x';
}

/** How far apart the section is, and of how many clean takes it needs; a clause. */
export function sectionSum({ together, players, needed, counted }: SectionVerdict): string {
  const clean = players.filter((one) => one.clean && one.attendance === 'counted').length;
  const of =
    needed < counted ? `${clean} clean of ${counted}, ${needed} needed` : `${clean} of ${counted} clean`;
  const { asynchronyMicros } = together;
  return asynchronyMicros === undefined ? of : `${of}, together within ${millis(asynchronyMicros)}`;
}

function placesOf({ keepsBeat }: SectionVerdict, passage: Passage): (tick: number) => string {
  return (tick) => (keepsBeat ? ` at ${placeName(beatGrid(passage), tick)}` : '');
}

function brokenSentence(
  { players, clean }: SectionVerdict,
  place: (tick: number) => string,
  own: (player: number) => string,
): string | undefined {
  const waited = players.filter(({ attendance }) => attendance === 'counted');
  const broke = waited.filter(({ brokeTick, silent }) => brokeTick !== undefined && !silent);
  const silent = waited.filter((one) => one.silent);
  if (clean && broke.length === 0) return undefined;
  if (broke.length === 0)
    return silent.length > 0
      ? `${listed(silent)} ${silent.length === 1 ? 'was' : 'were'} not heard.`
      : undefined;
  const tick = Math.min(...broke.map(({ brokeTick }) => brokeTick!));
  const first = broke.filter(({ brokeTick }) => brokeTick === tick);
  const others = broke.length - first.length;
  const after = others === 0 ? '' : `, then ${others === 1 ? 'one other' : `${others} others`}`;
  const [only] = first;
  const said = first.length === 1 && others === 0 ? `: ${lowered(own(players.indexOf(only!)))}` : '.';
  return `${listed(first)} broke${others === 0 ? '' : ' first'}${place(tick)}${after}${said}`;
}

/** Where several are not clean and for all of them it is the tempo, which all leave together. */
function hurriedSentence({ verdict, takes }: SectionReport): string | undefined {
  const off = verdict.players.flatMap(({ attendance, clean }, player) =>
    attendance === 'counted' && !clean ? [takes[player]!.verdict.troubles[0]?.kind] : [],
  );
  const isTempo = off.length > 1 && off.every((kind) => kind !== undefined && OF_TEMPO.includes(kind));
  return isTempo ? allPullingSentence(verdict.pulling) : undefined;
}

const OF_TEMPO: readonly Trouble['kind'][] = ['tempo', 'drift', 'placed'];

/** All of it at another pitch or on another beat: no one place is where it broke. */
function offSentence({ verdict, takes }: SectionReport, own: (player: number) => string): string | undefined {
  const off = verdict.players.flatMap((one, player) =>
    one.attendance === 'counted' && !one.clean && !takes[player]!.verdict.clean ? [player] : [],
  );
  const [first] = off;
  if (verdict.clean || first === undefined) return undefined;
  const others = off.length - 1;
  const also = others === 0 ? '' : ` ${others === 1 ? 'One other was' : `${others} others were`} not clean.`;
  return `${verdict.players[first]!.name}: ${lowered(own(first))}${also}`;
}

/** Nothing was wrong in it, but the run was stopped for somebody else. */
function isCutShort(
  { clean, rests }: SectionPlayerVerdict,
  { verdict }: SectionReport['takes'][number],
): boolean {
  return !clean && !rests && verdict.clean;
}

const STOPPED_EARLY = 'Right up to where the run was stopped.';

function apartSentence(verdict: SectionVerdict, place: (tick: number) => string): string | undefined {
  return pullingSentence(verdict.pulling) ?? spacedSentence(verdict, place);
}

/** Of one who leaves the others and of all who leave the tempo, what is more. */
function pullingSentence(pulling: SectionVerdict['pulling']): string | undefined {
  const alone = mostPulling(pulling);
  return (
    allPullingSentence(pulling) ??
    (alone &&
      `${alone.player} ${alone.microsInAll < 0 ? 'pulls ahead of' : 'falls behind'} the others, ${millis(alone.microsInAll)} by the end.`)
  );
}

function mostPulling({ players }: SectionVerdict['pulling']) {
  return players
    .filter(({ sure }) => sure)
    .sort((a, b) => Math.abs(b.microsInAll) - Math.abs(a.microsInAll))[0];
}

/** Undefined where they do not, and where one leaves the others by more. */
function allPullingSentence(pulling: SectionVerdict['pulling']): string | undefined {
  const { all } = pulling;
  if (!all?.sure || Math.abs(all.microsInAll) <= Math.abs(mostPulling(pulling)?.microsInAll ?? 0))
    return undefined;
  const [what, when, remedy] =
    all.microsInAll < 0
      ? ['rush', 'early', 'let each beat come to you']
      : ['drag', 'late', 'keep the tempo going beat by beat'];
  return `All ${what} together: ${millis(all.microsInAll)} ${when} by the end: ${remedy}.`;
}

/** Of the widest moment and of who is off throughout, what is more: among many a wide moment comes of chance alone. */
function spacedSentence(verdict: SectionVerdict, place: (tick: number) => string): string | undefined {
  const { together } = verdict;
  const [worst] = [...together.moments].sort((a, b) => b.apartMicros - a.apartMicros);
  const [leading] = together.players
    .filter(({ leads }) => leads)
    .sort((a, b) => Math.abs(b.leadMicros!) - Math.abs(a.leadMicros!));
  const isHeard = worst !== undefined && worst.apartMicros >= HEARD_APART_MICROS;
  if (leading && (!isHeard || Math.abs(leading.leadMicros!) > worst.apartMicros))
    return `${leading.player} is ${leadWords(leading)}.${setUpWords(verdict, leading.player)}`;
  if (!isHeard) return undefined;
  const steadier = steadierOf(verdict, worst.first, worst.last);
  return `${worst.first} and ${worst.last} are ${millis(worst.apartMicros)} apart${place(worst.tick)}: listen to ${steadier}.`;
}

/** Of two, the one who keeps closer to the others. */
function steadierOf({ together }: SectionVerdict, a: string, b: string): string {
  const spread = (name: string) => together.players.find(({ player }) => player === name)?.spreadMicros ?? 0;
  return spread(b) < spread(a) ? b : a;
}

/** How close together stands in the sum beside it. */
function wellSentence({ players, clean }: SectionVerdict): string {
  if (!clean) return STOPPED_EARLY;
  const playing = players.filter(({ attendance, rests }) => attendance === 'counted' && !rests).length;
  if (playing === 0) return 'Nobody who counts had a note to play.';
  return playing === 1 ? 'Clean.' : 'All clean.';
}

function playerWords(one: SectionPlayerVerdict, verdict: SectionVerdict, own: () => string): string {
  const { attendance, playedPartOf, rests, clean, silent } = one;
  if (attendance === 'away') return 'Away: the instrument was not there.';
  if (playedPartOf !== undefined) return `Played the part of ${verdict.players[playedPartOf]!.name}.`;
  if (silent && attendance === 'left-out') return 'Not heard: nobody waits until a note comes.';
  if (rests && clean) return 'Rested as written.';
  const place = placeOf(one, verdict);
  const lead = clean && place?.leads ? ` ${asSentence(leadWords(place))}` : '';
  const how = attendance === 'excused' ? 'Excused. ' : '';
  return `${how}${own()}${lead}`;
}

function rankOf(one: SectionPlayerVerdict, verdict: SectionVerdict): number {
  const { attendance, playedPartOf, clean, silent, right, of, rests } = one;
  if (playedPartOf !== undefined) return 0;
  if (attendance === 'away') return 1;
  if (attendance !== 'counted') return 7;
  if (!clean && !silent && right < of) return 2;
  if (silent) return 3;
  if (!clean) return 4;
  const place = placeOf(one, verdict);
  if (place?.leads) return 5;
  return rests ? 8 : 6;
}

function placeOf({ name }: SectionPlayerVerdict, { together }: SectionVerdict): PlayerPlace | undefined {
  return together.players.find(({ player }) => player === name);
}

function leadWords({ leadMicros = 0 }: PlayerPlace): string {
  return `${millis(leadMicros)} ${leadMicros < 0 ? 'ahead of' : 'behind'} the others`;
}

function setUpWords({ players }: SectionVerdict, name: string): string {
  const known = players.find((one) => one.name === name)?.calibrated;
  return known ? '' : ' It may be the set-up: fettle section calibrate tells.';
}

const ATTENDANCE: Record<Attendance, string> = {
  counted: 'in',
  excused: 'excused: heard, not counted',
  aside: 'plays along, not counted',
  away: 'away',
  'left-out': 'not heard, not waited for',
  muted: 'not listened to',
};

/** What a teacher has asked of a player. */
export function seatWords(seat: {
  readonly player: string;
  readonly attendance: Attendance;
  readonly focused: boolean;
}): string {
  return `${seat.player}: ${seat.focused ? 'alone counted' : ATTENDANCE[seat.attendance]}`;
}

export function leftOutWords(names: readonly string[]): string {
  const one = names.length === 1;
  return `${listedNames(names)} ${one ? 'has' : 'have'} not been heard for two takes: nobody waits for ${one ? 'that player' : 'them'} until a note comes.`;
}

/** Before the first take, of a player whose notes come so late that playing together means little. */
export function tooFarNotice(lagMicros: number): string {
  return `notes arrive ${millis(lagMicros)} after the click. Above 25 ms one way playing together cannot be judged: let each play to a click of their own (there: fettle work PASSAGE --player NAME), then fettle section compare.`;
}

function listed(players: readonly SectionPlayerVerdict[]): string {
  return listedNames(players.map(({ name }) => name));
}

/** @example listedNames(['Oboe', 'Clarinet']) // 'Oboe and Clarinet' */
export function listedNames(names: readonly string[]): string {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}
