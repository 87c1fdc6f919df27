// The verdict on a take as one sentence that says what to do: which interval, which way, how much, what next. Plain ASCII.

import type { LateFingers } from '../fingering/late-finger.ts';
import type { Slip } from '../matching/follow.ts';
import type { Passage } from '../music/passage.ts';
import type { TakeEnd } from '../record/entry.ts';
import type { TakeReport } from '../session/take-report.ts';
import type { Strand } from '../take/hands.ts';
import { touchTroubles } from '../take/touch.ts';
import type { IntervalVerdict, TakeVerdict, Trouble } from '../take/verdict.ts';
import { causeSentence } from './cause-sentence.ts';
import { counted } from './counted.ts';
import { millis } from './figures.ts';
import { lateFingerWords } from './fingering.ts';
import { equalNotes, intervalEnds, type NoteNames, noteNames, onsetName } from './note-names.ts';
import { touchSentence } from './touch-sentence.ts';

/** The sentence about a player's take in a session. */
export function takeSentence({ line, ...report }: TakeReport, passage: Passage): string {
  return sentence(report, noteNames(passage, line.onsets, line.transposition));
}

export interface Told {
  readonly verdict: TakeVerdict;
  /** The slip for which the run was stopped, if it was: where the whole take says otherwise, the sentence says so. */
  readonly stoppedFor?: Slip | undefined;
  /** Where the worst trouble is a blip and fingers explain it. */
  readonly lateFingers?: LateFingers | undefined;
}

/**
 * One sentence about the worst trouble, or an honest word about a clean take with what was measured.
 * @example sentence({ verdict }, names) // 'Rushed B4 to D#5 by 34 ms (23 %): lean on the B4.'
 */
export function sentence({ verdict, stoppedFor, lateFingers }: Told, names: NoteNames): string {
  const worst = verdict.troubles[0];
  if (worst) return troubleSentence(worst, names, lateFingers);
  const { letGo } = verdict;
  const advice = letGo ? [troubleSentence(letGo, names)] : touchWords(verdict, names);
  const said = [cleanSentence(verdict), ...advice].join(' ');
  return stoppedFor ? `Heard a slip too soon; the whole take says: ${said}` : said;
}

/** What is kept of a take without a verdict. */
export function brokenOffSentence(end: TakeEnd): string {
  return BROKEN_OFF[end];
}

const BROKEN_OFF: Record<TakeEnd, string> = {
  stopped: 'Played to the stop.',
  slipped: 'Stopped after a slip.',
  paused: 'Broken off by a pause.',
  skipped: 'Skipped.',
  retaken: 'Broken off to start again.',
  quit: 'Broken off at the end of the session.',
  lost: 'Broken off: the instrument was lost.',
};

/** Touch is told once the time is clean, and then as advice. */
function touchWords({ touch, touchUnknown }: TakeVerdict, names: NoteNames): string[] {
  if (touchUnknown) return ['Of the touch nothing is known: the instrument sends the same for every note.'];
  const [worst] = touch ? touchTroubles(touch) : [];
  return worst ? [troubleSentence(worst, names)] : [];
}

function cleanSentence({ intervals, placement }: TakeVerdict): string {
  const measured: string[] = [];
  if (intervals.length > 0) {
    const widest = Math.max(...intervals.map((i) => Math.abs(i.deviationMicros)));
    measured.push(`Widest interval ${millis(widest)} off`);
  }
  if (placement?.lagMicros !== undefined) measured.push(lag(placement.lagMicros, measured.length === 0));
  return measured.length === 0 ? 'Clean.' : `Clean. ${measured.join(', ')}.`;
}

function lag(lagMicros: number, first: boolean): string {
  const rounded = Math.round(lagMicros / 1000);
  if (rounded === 0) return first ? 'On the click' : 'on the click';
  return `${millis(lagMicros)} ${rounded > 0 ? 'late' : 'early'} on the click`;
}

/**
 * One trouble in a teacher's words: what happened where, then what to do about it. `lateFingers`: those that explain a
 * blip, where some do.
 */
function troubleSentence(trouble: Trouble, names: NoteNames, lateFingers?: LateFingers): string {
  const words = troubleWords(trouble, names, lateFingers);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function troubleWords(trouble: Trouble, names: NoteNames, lateFingers?: LateFingers): string {
  const at = (onset: number): string => onsetName(names, onset);
  switch (trouble.kind) {
    case 'silent':
      return 'Nothing was played: come in after the lead-in.';
    case 'octave':
      return octaveSentence(trouble.octaves);
    case 'wrong': {
      const wanted = names.expected[trouble.onset]?.[trouble.note] ?? at(trouble.onset);
      const got =
        trouble.playedPitch === undefined
          ? 'another note'
          : names.ofPitch(trouble.playedPitch, trouble.onset);
      if (trouble.ofChord)
        return `Played ${got} for ${wanted} in the chord on ${at(trouble.onset)}: play the chord alone, then in its place.`;
      return `Played ${got} for ${wanted}${approach(names, trouble.onset)}.`;
    }
    case 'missed': {
      const wanted = names.expected[trouble.onset]?.[trouble.note] ?? at(trouble.onset);
      if (trouble.ofChord)
        return `${wanted} of the chord on ${at(trouble.onset)} is missing: play the chord alone, then in its place.`;
      const repeated = tooFew(trouble.onset, names);
      if (repeated !== undefined) return repeated;
      return trouble.onset === 0
        ? `Missed ${wanted}, the first note: hear it before you come in.`
        : `Missed ${wanted}${approach(names, trouble.onset)}.`;
    }
    case 'blip': {
      const { before, playedPitch } = trouble;
      const told = lateFingers ? lateFingerWords(lateFingers) : 'move the fingers together';
      return `Blip${named(playedPitch, before, names)} ${between(before, names)}: ${told}.`;
    }
    case 'extra': {
      if (trouble.chord !== undefined)
        return `Added${named(trouble.playedPitch, trouble.chord, names) || ' a note'} to the chord on ${at(trouble.chord)}: play the chord alone and hear it.`;
      if (trouble.withNote !== undefined) {
        const note = at(trouble.withNote);
        const other = named(trouble.playedPitch, trouble.withNote, names).trim() || 'Another note';
        return `${other} sounded with ${withArticle(note)}: play ${withArticle(note)} alone and hear it.`;
      }
      const repeated = tooMany(trouble, names);
      if (repeated !== undefined) return repeated;
      return `Added${named(trouble.playedPitch, trouble.before, names) || ' a note'} ${between(trouble.before, names)}: play only what is written there, slowly.`;
    }
    case 'restart':
      return `Went back to ${at(trouble.before)} after ${counted(trouble.notes, 'note')}: keep going to the stop, then mend it.`;
    case 'rushed':
    case 'dragged':
    case 'hesitated':
      return timingSentence(trouble.kind, trouble.interval, names);
    case 'placed':
      return placedSentence(trouble, names);
    case 'displaced':
    case 'tempo':
    case 'tempo-mark':
    case 'drift':
    case 'pattern':
    case 'evened':
    case 'hand':
    case 'uneven':
      return causeSentence(trouble, names);
    case 'chord':
      return `The chord on ${at(trouble.onset)} spread over ${millis(trouble.spreadMicros)}: put its notes down together.`;
    case 'entered':
      return `You came in ${beatsWords(trouble.beats)}; the notes are right: count the lead-in aloud and come in with it.`;
    case 'stopped-short':
      return `Stopped on ${at(trouble.onset)}, ${counted(trouble.left, 'note')} before the end: go on to ${trouble.left === 1 ? 'it' : 'the last'}.`;
    case 'tied-over':
      return `Held ${at(0)} over: strike the landing again, then go on.`;
    case 'clipped':
      return `Let go of ${at(trouble.onset)} after ${millis(trouble.heldMicros)}: hold the landing and hear it.`;
    case 'transposed': {
      const many = Math.abs(trouble.semitones);
      return `Right, but all ${counted(many, 'semitone')} too ${trouble.semitones > 0 ? 'high' : 'low'}: look at the instrument's transposition.`;
    }
    case 'touch':
    case 'uneven-touch':
      return touchSentence(trouble, names);
    case 'ran-on':
      return `Ran on ${counted(trouble.notes, 'note')} past the stop: stop on ${at(names.expected.length - 1)} and hold it.`;
  }
}

function timingSentence(
  kind: 'rushed' | 'dragged' | 'hesitated',
  interval: IntervalVerdict,
  names: NoteNames,
): string {
  const [from, to] = intervalEnds(names, interval);
  if (interval.playedMicros < 0) return `Swapped ${from} and ${to}: play ${from} first, slowly.`;
  const share = `${Math.abs(Math.round(interval.share * 100))} %`;
  const whose = interval.hand ? `, ${interval.hand.name}` : '';
  const much = `${millis(interval.deviationMicros)} (${share})${whose}`;
  if (kind === 'rushed') return `Rushed ${from} to ${to} by ${much}: lean on ${withArticle(from)}.`;
  if (kind === 'dragged') return `Dragged ${from} to ${to} by ${much}: leave ${withArticle(from)} sooner.`;
  return `Hesitated ${millis(interval.deviationMicros)} before ${to}${whose}: play ${from} to ${to} alone until it goes by itself.`;
}

function placedSentence(
  { onset, offsetMicros, whole }: Extract<Trouble, { readonly kind: 'placed' }>,
  names: NoteNames,
): string {
  const way = offsetMicros > 0 ? 'late' : 'early';
  if (whole) return `All of it ${millis(offsetMicros)} ${way} on the click: come in with the click.`;
  return `${onsetName(names, onset)} came ${millis(offsetMicros)} ${way} on the click, little by little: listen for it there.`;
}

/** @example beatsWords(-0.5) // 'half a beat early' */
function beatsWords(beats: number): string {
  const many = Math.abs(beats);
  const whole = many === 0.5 ? 'half a beat' : many === 1 ? 'a beat' : `${many} beats`;
  return `${whole} ${beats > 0 ? 'late' : 'early'}`;
}

function octaveSentence(octaves: number): string {
  const many = Math.abs(octaves) === 1 ? 'an octave' : `${Math.abs(octaves)} octaves`;
  return `Right, but all ${many} too ${octaves > 0 ? 'high' : 'low'}: move it, or set the instrument's octave.`;
}

function withArticle(note: string): string {
  return note.startsWith('the ') ? note : `the ${note}`;
}

const COUNT = 'count them as you play';

/** Of equal notes in a row nobody hears which one was left out. */
function tooFew(onset: number, names: NoteNames): string | undefined {
  const { first, count, name } = equalNotes(names, onset);
  if (count < 2 || names.expected[onset]!.length > 1) return undefined;
  return `One ${name} too few${ofEqual(names, first, count)}: ${COUNT}.`;
}

function tooMany(
  { before, playedPitch }: Extract<Trouble, { readonly kind: 'extra' }>,
  names: NoteNames,
): string | undefined {
  if (playedPitch === undefined) return undefined;
  const pitch = names.ofPitch(playedPitch, before);
  const near = [before - 1, before].map((onset) => equalNotes(names, onset));
  const same = near.find(({ name }) => name === pitch);
  if (!same) return undefined;
  if (same.count > 1) return `One ${pitch} too many${ofEqual(names, same.first, same.count)}: ${COUNT}.`;
  return `Played ${pitch} twice, where it is written once: play only what is written there, slowly.`;
}

function ofEqual(names: NoteNames, first: number, count: number): string {
  return ` of ${count}${names.place ? `, from ${names.place(first)} on` : ''}`;
}

/** How to work on a slip: by the interval that leads into it. */
function approach(names: NoteNames, onset: number): string {
  if (onset === 0) return ': look before you come in';
  return ` after ${onsetName(names, onset - 1)}: play ${onsetName(names, onset - 1)} to ${onsetName(names, onset)} slowly`;
}

function between(before: number, names: NoteNames): string {
  if (before === 0) return `before ${onsetName(names, 0)}`;
  return `between ${onsetName(names, before - 1)} and ${onsetName(names, before)}`;
}

function named(pitch: number | undefined, before: number, names: NoteNames): string {
  return pitch === undefined ? '' : ` ${names.ofPitch(pitch, before)}`;
}

/** Of a recorded take, where both hands were asked. */
export function handAloneSentence(hand: Strand): string {
  const how = hand.endsWith('hand') ? `--hand ${hand.split(' ')[0]}` : '--voice with its number';
  return `Only the ${hand} was played: ${how} judges it alone.`;
}
