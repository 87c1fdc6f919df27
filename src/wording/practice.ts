// How a drill is practised, in the words of a teacher: for sheets and before a drill's first step.

import type { StepEntry } from '../session/step-entry.ts';

/** Common practice, no source. */
const PRACTICE: Readonly<Record<string, string>> = {
  landings:
    'Short runs with the click, each to the fermata and no further. Hold it while the click goes on, strike the same note again and play the next run. Three times clean, then on.',
  switchback:
    'Without the click, all notes equal: one note further each time, out and back. The numbers say which note of the line it is. Listen for evenness, not for speed.',
  widening:
    'With the click, in its own place in the bar: first the snag alone, then one note more on each side. Count the rests. Three times clean, then the next window.',
  tenuto:
    'Without the click. Lean on the marked note: half as long again, then a quarter, then a tenth, then not at all. What follows simply comes later; do not make up for it.',
  rhythms:
    'With the click, the long notes long and the short ones short: think of the next group while the long note sounds.',
  chain: 'With the click, to the fermata: the first beat, then one beat more each time.',
  through: 'With the click, with what comes before and after, and without stopping.',
};

/** One to three sentences. */
export function practiceWords(drill: string): string {
  return PRACTICE[drill] ?? 'With the click, slowly at first.';
}

/** The same for the screen, which draws brackets and counts where a sheet has fermatas and boxes. */
const HELP: Readonly<Record<string, string>> = {
  landings:
    'Play from the left to the note in brackets, in time with the click, and hold it for the beats shown. When the count is down, strike it again: the next run begins with it.',
  switchback:
    'No click: begin when you like. Out to the turn and back to the first note, all notes equally long; each time it goes one note further. Listen for evenness, not for speed.',
  widening:
    'Count the lead-in, wait for the place in the bar where the first note stands on the ruler, and play just these notes. Each time there is more around them.',
  tenuto:
    'No click: begin when you like. Make the note marked "lean" longer than written; do not make up for it afterwards. Each time the lean is smaller.',
  rhythms:
    'Notes with a line after their name are long, the others short. Think of the next group while the long note sounds.',
  chain:
    'Play from the first note to the one in brackets, in time with the click, and hold it. Each time there is a beat more.',
  through: 'Play all of it in time with the click, what comes before and after too, and do not stop.',
  survey: 'Play it through in time and do not stop, whatever happens: nothing has to be clean yet.',
};

/** What `?` says of a drill. */
export function helpWords(drill: string): string {
  return `${HELP[drill] ?? 'Play what is shown, in time.'} Space goes on.`;
}

/** A drill in a few words, for a line of a list. */
const BRIEFS: Readonly<Record<string, string>> = {
  landings: 'short runs from beat to beat, each landing held',
  switchback: 'out and back, one note further each time, no click',
  widening: 'from the bad interval outwards',
  tenuto: 'leaning on the note before the bad interval',
  rhythms: 'an even line in long-short and short-long',
  chain: 'the first beat, the first two, the first three ...',
  through: 'all of it, with a bar before and after',
};

/** No more than 50 letters. */
export function briefWords(drill: string): string {
  return BRIEFS[drill] ?? '';
}

const TASKS: Readonly<Record<string, string>> = {
  landings: 'Play to the note in brackets and hold it; when the hold is over strike it again and go on.',
  switchback: 'Out and back, one note further each time, all notes equally long.',
  widening: 'Enter at the place in the bar where these notes stand, and play just these.',
  tenuto: 'Make the note marked "lean" longer; what follows simply comes later.',
  rhythms: 'Notes with a line after their name are long, the others short.',
  chain: 'Play to the note in brackets and hold it; each time there is a beat more.',
  through: 'Play all of it in time, and do not stop.',
  survey: 'Play it through in time, and play on whatever happens.',
};

/** What a drill asks for, in one sentence, for before its first step. */
export function taskWords(drill: string): string {
  return TASKS[drill] ?? 'Play what is shown, in time.';
}

const SHARES: readonly (readonly [share: number, words: string])[] = [
  [1 / 4, 'a quarter of a beat'],
  [1 / 3, 'a third of a beat'],
  [1 / 2, 'half a beat'],
  [2 / 3, 'two thirds of a beat'],
  [3 / 4, 'three quarters of a beat'],
];

/**
 * Where in the bar a step is entered, as a clause.
 * @example entryWords({ kind: 'beat', place: 3, share: 0.5 }) // 'enter half a beat after beat 3'
 */
export function entryWords(entry: StepEntry): string {
  if (entry.kind === 'free') return 'enter when you like';
  if (entry.kind === 'lead-in') return 'enter after the lead-in';
  const { place, share } = entry;
  if (share === 0) return `enter on beat ${place}`;
  const known = SHARES.find(([one]) => Math.abs(one - share) < 0.001)?.[1];
  return `enter ${known === undefined ? '' : `${known} `}after beat ${place}`;
}
