// What explains the timing of a take, and what to do about it: each cause has an advice of its own.

import type { Trouble } from '../take/verdict.ts';
import { millis, percent } from './figures.ts';
import { intervalEnds, type NoteNames, onsetName } from './note-names.ts';

type CauseTrouble = Extract<
  Trouble,
  { readonly kind: 'displaced' | 'tempo' | 'tempo-mark' | 'drift' | 'pattern' | 'evened' | 'hand' | 'uneven' }
>;

export function causeSentence(cause: CauseTrouble, names: NoteNames): string {
  switch (cause.kind) {
    case 'displaced': {
      const late = cause.offsetMicros > 0;
      const whose = cause.hand === undefined ? '' : `, ${cause.hand},`;
      const own = cause.note === undefined ? undefined : names.expected[cause.onset]?.[cause.note];
      const note = `${own ?? onsetName(names, cause.onset)}${whose} alone came ${millis(cause.offsetMicros)}`;
      return late
        ? `${note} late: have it ready sooner, the others are in place.`
        : `${note} early: wait for it, the others are in place.`;
    }
    case 'tempo': {
      const [way, advice] =
        cause.share > 0
          ? ['slower', 'keep up with each beat, or take the click slower']
          : ['faster', 'let each beat come to you, or take the click faster'];
      return `All of it was ${percent(cause.share)} ${way} than the click: ${advice}.`;
    }
    case 'tempo-mark':
      return markSentence(cause, names);
    case 'drift': {
      const where = cause.from === 0 ? 'all the way' : `from ${onsetName(names, cause.from)} on`;
      return cause.share < 0
        ? `Faster and faster ${where}, ${percent(cause.share)} at the end: hold the tempo back beat by beat.`
        : `Slower and slower ${where}, ${percent(cause.share)} at the end: keep the tempo going beat by beat.`;
    }
    case 'pattern':
      return patternSentence(cause);
    case 'evened':
      return cause.share > EVENED_WHOLLY
        ? 'That was even: make the long notes long and the short ones short.'
        : 'Not long and short enough: longer the long notes, shorter the short ones.';
    case 'hand': {
      const other = OTHER_HAND[cause.hand];
      const [behind, ahead] = cause.offsetMicros > 0 ? [cause.hand, other] : [other, cause.hand];
      const where = cause.from === undefined ? 'all the way' : `from ${onsetName(names, cause.from)} on`;
      return `The ${behind} came ${millis(cause.offsetMicros)} after the ${ahead}, ${where}: bring them together on each beat.`;
    }
    case 'uneven': {
      const { interval, sdMicros } = cause;
      if (interval && Math.abs(interval.allowedMicros) > EXCEPTION_TIMES * sdMicros)
        return `${intervalEnds(names, interval).join(' to ')} came out ${millis(interval.deviationMicros)} ${interval.deviationMicros < 0 ? 'short' : 'long'}, the rest even to ${millis(sdMicros)}: the same once more, and listen there.`;
      const most = interval
        ? `, most from ${intervalEnds(names, interval).join(' to ')} (${millis(interval.deviationMicros)} ${interval.deviationMicros < 0 ? 'short' : 'long'})`
        : '';
      return `Uneven, give or take ${millis(sdMicros)}${most}: slower, until each note is like the next.`;
    }
  }
}

/** A line so even has no need of a slower tempo for one interval that is a little out of it. */
const EXCEPTION_TIMES = 3;

/** More even than not. */
const EVENED_WHOLLY = 0.75;

const OTHER_HAND = {
  'left hand': 'right hand',
  'right hand': 'left hand',
  'lower voice': 'upper voice',
  'upper voice': 'lower voice',
} as const;

/** Less or more than this of a written change counts as none of it, or all. */
const MADE_NONE = 0.2;
const MADE_ALL = 1;

function markSentence(
  { onset, share, made }: Extract<CauseTrouble, { readonly kind: 'tempo-mark' }>,
  names: NoteNames,
): string {
  const here = onsetName(names, onset);
  // Too fast for what is written and less than all of it made: the music slows down there.
  const slowsDown = share < 0 === made < MADE_ALL;
  const way = slowsDown ? 'slower' : 'faster';
  const advice = 'count the new tempo before you get there';
  if (Math.abs(made) <= MADE_NONE)
    return `Kept the old tempo from ${here} on, where it goes ${way}: ${advice}.`;
  if (made < 0)
    return `Went ${slowsDown ? 'faster' : 'slower'} from ${here} on, where it goes ${way}: ${advice}.`;
  if (made > MADE_ALL) return `Went ${way} from ${here} on than is written, by ${percent(share)}: ${advice}.`;
  return `Not enough ${way} from ${here} on, by ${percent(share)}: ${advice}.`;
}

const PLACES = ['first', 'second', 'third', 'fourth'];
const GROUPS: Readonly<Record<number, string>> = { 2: 'two', 3: 'three', 4: 'four' };

function patternSentence({
  period,
  place,
  offsetMicros,
}: Extract<CauseTrouble, { readonly kind: 'pattern' }>): string {
  const much = `${millis(offsetMicros)} ${offsetMicros > 0 ? 'late' : 'early'}`;
  if (period === 2) {
    const lilt = offsetMicros > 0 ? 'Long-short' : 'Short-long';
    return `${lilt} all the way, the second of each two ${much}: make both alike.`;
  }
  return `The ${PLACES[place]} of each ${GROUPS[period]} came ${much} each time: move that one alone.`;
}
