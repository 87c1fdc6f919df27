// Notices in words: advice, offers, rest prompts.

import { roundedBpm } from '../music/tempo.ts';
import type { Notice } from '../session/notice.ts';
import { shiftOffer, shiftTaken } from './offer.ts';
import { helpWords } from './practice.ts';
import { repeatedFaultAdvice } from './repeated-fault.ts';
import { restPrompt } from './rest-prompt.ts';
import { leftOutWords } from './section.ts';

/** One to three sentences. */
export function noticeWords(notice: Notice): string {
  switch (notice.kind) {
    case 'passed-on':
      return notice.text;
    case 'repeated':
      return repeatedFaultAdvice(notice.fault, notice.drill);
    case 'misses': {
      const told = `${notice.takes} takes in a row were not clean`;
      return notice.onLowestRung
        ? `${told}, and there is no rung below this one: go slower at a tempo of your own (down arrow), work it shorter, or skip (right arrow).`
        : `${told}: take it slower (down arrow), or shorter.`;
    }
    case 'clean-off-rung':
      return `Clean ${notice.takes} times at your own tempo: up arrow goes back towards the rung, ${roundedBpm(notice.rungBpm)} a minute.`;
    case 'shift':
      return notice.player === undefined
        ? shiftOffer(notice.shift)
        : `${notice.player}: ${shiftOffer(notice.shift)}`;
    case 'shift-taken':
      return notice.shifts
        .map(({ shift, player }) => `${player === undefined ? '' : `${player}: `}${shiftTaken(shift)}`)
        .join(' ');
    case 'left-out':
      return leftOutWords(notice.players);
    case 'rests':
      return `${notice.player} rests here.`;
    case 'rest':
      return restPrompt(notice.minutes);
    case 'practice':
      return helpWords(notice.drill);
    case 'nothing-to-replay':
      return 'No take has been played yet.';
  }
}
