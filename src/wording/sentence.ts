// The verdict as one sentence that says what to do: which interval, which way, how much, what next. Plain ASCII.

import type { LateFingers } from '../fingering/late-finger.ts';
import type { Slip } from '../matching/follow.ts';
import { touchTroubles } from '../take/touch.ts';
import type { TakeVerdict } from '../take/verdict.ts';
import { millis } from './figures.ts';
import type { NoteNames } from './note-names.ts';
import { troubleSentence } from './trouble-sentence.ts';

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
  const said = [cleanSentence(verdict), ...touchWords(verdict, names)].join(' ');
  return stoppedFor ? `Heard a slip too soon; the whole take says: ${said}` : said;
}

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
