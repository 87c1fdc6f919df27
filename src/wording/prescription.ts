// Why drills are prescribed, in a sentence.

import type { WholeFault } from '../coaching/difficulty.ts';
import type { PrescriptionReason } from '../coaching/prescription.ts';
import type { Passage } from '../music/passage.ts';
import { percent } from './figures.ts';
import { intervalName } from './interval-name.ts';

export function prescriptionSentence(why: PrescriptionReason, passage: Passage): string {
  switch (why.kind) {
    case 'whole':
      return WHOLE[why.fault];
    case 'unsettled':
      return 'No one place stands out and yet no run-through was clean: build it from short runs that grow, slower first.';
    case 'none':
      return 'Nothing stands out: play it through with what comes before and after, a little faster each time.';
    case 'rushing':
      return `The notes come too soon, by ${percent(why.share)} of their length: stop on every beat until the click is there first, then carry the pulse with less and less of it.`;
    default:
      return intervalSentence(why.kind, intervalName(passage, why.onset));
  }
}

type IntervalReason = Extract<PrescriptionReason, { readonly onset: number }>['kind'];

function intervalSentence(kind: IntervalReason, interval: string): string {
  switch (kind) {
    case 'interval':
      return `Only ${interval} trips: lean on its first note until the next one is ready, then let the line grow around it in time.`;
    case 'long-interval':
      return `Only ${interval} comes too late: learn the way from both sides until the fingers know it, then let the line grow around it in time.`;
    case 'beats':
      return `Each beat is easy alone and several in a row are not: join them one landing at a time, learn the way through ${interval} from both sides, then widen from there.`;
    case 'line':
      return `There is trouble all over the line: build it from short runs that grow, link its bars, and only then go to the worst place, ${interval}.`;
    case 'hesitation':
      return `The line stops in ${interval} because the next note is not ready: enter right there in time with a click that does not wait, then come to it from further and further away.`;
  }
}

const WHOLE: Readonly<Record<WholeFault, string>> = {
  'too slow': 'All of it was slower than the click: begin at the tempo that is yours now and climb.',
  'too fast': 'All of it was faster than the click: stop on every beat until the click is there first.',
  speeding:
    'It got faster and faster: stop on every beat until the click is there first, then carry the pulse through.',
  slowing: 'It got slower and slower: add bar to bar at a tempo that you can keep, then climb.',
  lilting:
    'The notes came in long and short pairs that are not written: play it long-short and short-long on purpose, then even.',
  uneven:
    'It was uneven all over, at no one place: rhythms first, then slowly through, and faster only when it is even.',
  'hands apart':
    'The hands were apart from first to last: work each alone (--hand left, --hand right), then bring them together on every beat.',
  evened:
    'The long and the short notes came out alike: hear it first (h), then play the long ones longer than they seem.',
  'set otherwise':
    "The notes were right and sounded higher or lower than they should: set the instrument's octave or transposition, or press o in the session, then play it through again.",
  'off the click':
    'The notes were right and the place on the click was not: land on every beat until you stand on it.',
};
