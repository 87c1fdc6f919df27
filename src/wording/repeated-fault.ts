// What to do when the same fault has come three times in a row: not the same words once more.

import type { AdvisedFault, AdvisedKind } from '../session/repeated-fault.ts';

/** `drill`: the one in which it came, which is no advice any more. */
export function repeatedFaultAdvice({ kind, times }: AdvisedFault, drill: string): string {
  const advice = ADVICE[kind];
  return `The same ${times} times: ${advice.includes(`the drill ${drill}`) ? SLOWER : advice}.`;
}

const SLOWER = 'take it slower (down arrow)';
const HEAR = 'hear it first (h)';

const ADVICE: Readonly<Record<AdvisedKind, string>> = {
  wrong: `${HEAR}, then work the two notes alone, or try another fingering`,
  missed: `${HEAR}, then work it shorter`,
  extra: `${HEAR}, then ${SLOWER}`,
  blip: `${SLOWER}, or try another fingering`,
  restart: 'work it shorter, so that there is nothing to go back for',
  rushed: `work that interval with the drill tenuto, or ${SLOWER}`,
  dragged: `work it shorter, from that note outwards with the drill widening`,
  hesitated: `work it shorter, from that note outwards with the drill widening`,
  displaced: `${HEAR} with the click, then ${SLOWER}`,
  tempo: 'set the click to your own tempo first (arrows), then bring it back',
  'tempo-mark': `${HEAR}: the tempo changes on the way`,
  drift: `work it shorter, and ${HEAR} with the click`,
  pattern: 'work it with the drill rhythms, long-short and short-long',
  evened: `${HEAR}: the long notes are longer than they seem`,
  hand: 'work each hand alone (--hand), then both',
  uneven: `${SLOWER}, or work it with the drill rhythms`,
  chord: 'put the chord down in silence first, all its notes at once',
  placed: `${HEAR} with the click`,
  entered: `${HEAR}: it sounds with its lead-in`,
  'ran-on': `${HEAR}: it stops where you should`,
  'stopped-short': `${HEAR}: it goes on farther than you do`,
  'tied-over': `${HEAR}: the landing is struck again`,
  touch: `${SLOWER}, and listen to that note alone`,
  'uneven-touch': `${SLOWER}, one note like the other`,
  clipped: `${HEAR}: the landing sounds on`,
};
