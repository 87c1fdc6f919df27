// What `fettle capture` shows of what was played in: the listing with doubtful onsets marked, what else they could be,
// and how it was played.

import { beatAt, beatGrid } from '../drills/beat-grid.ts';
import { barName } from '../drills/place-name.ts';
import { onsetDurationTicks } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';
import { spellingName } from '../music/pitch.ts';
import { TICKS_PER_WHOLE } from '../music/ticks.ts';
import type { Quantised, QuantisedOnset } from '../notation/transcription/quantise.ts';
import { DOUBTFUL, isUncertain } from '../notation/transcription/tempo.ts';
import { counted } from '../wording/counted.ts';
import { percent } from '../wording/figures.ts';
import { listPassage } from '../wording/listing/passage.ts';

export function captureLines(passage: Passage, onsets: readonly QuantisedOnset[], columns = 80): string[] {
  const doubts = doubtLines(passage, onsets);
  const marked = new Set(onsets.flatMap(({ certainty }, i) => (certainty < DOUBTFUL ? [i + 1] : [])));
  return [
    ...listPassage(passage, columns, { doubtful: marked }),
    ...(doubts.length > 0 ? ['', ...doubts] : []),
  ];
}

/** One line for each doubtful onset. Ticks of `onsets` may count from elsewhere than the passage's. */
function doubtLines(passage: Passage, onsets: readonly QuantisedOnset[]): string[] {
  const shift = (passage.onsets[0]?.tick ?? 0) - (onsets[0]?.tick ?? 0);
  return onsets.flatMap(({ tick, certainty, alternative }, i) => {
    if (certainty >= DOUBTFUL) return [];
    const here = `? onset ${i + 1}: ${placeText(passage, tick + shift)}, ${percent(certainty)} sure`;
    if (!alternative) return [here];
    const there = placeText(passage, alternative.tick + shift);
    return [`${here}; it could be ${there} (${percent(alternative.certainty)}): ${i + 1} other`];
  });
}

/** What to do when the rhythm as a whole is in doubt; of a recording the likely tempo may be known. */
export function captureAdvice(
  quantised: Quantised,
  played: { readonly bpm: number; readonly recorded?: { readonly likelyBpm: number | undefined } },
): string | undefined {
  if (!isUncertain(quantised)) return undefined;
  const uncertain = 'Much of the rhythm is uncertain:';
  const { bpm, recorded } = played;
  if (!recorded)
    return `${uncertain} play it in again, slower (r ${Math.max(10, Math.round(0.75 * bpm))}), close to the click.`;
  const { likelyBpm } = recorded;
  return likelyBpm === undefined || likelyBpm === Math.round(bpm)
    ? `${uncertain} name the tempo of the recording, --tempo BPM, or record it again, slower and close to a click.`
    : `${uncertain} it was not played at ${bpm}. Name its tempo: --tempo ${likelyBpm}.`;
}

/** One onset in full. @example onsetLine(passage, 5) // 'onset 5: D#4, bar 2 beat 1, 1/8 long' */
export function onsetLine(passage: Passage, number: number): string {
  const onset = passage.onsets[number - 1];
  if (!onset) return `The onsets are 1 to ${passage.onsets.length}.`;
  const names = onset.notes.map((note) => spellingName(note.spelling)).join('+');
  const ticks = onsetDurationTicks(onset);
  const shared = gcd(ticks, TICKS_PER_WHOLE);
  const length = `${ticks / shared}${shared === TICKS_PER_WHOLE ? '' : `/${TICKS_PER_WHOLE / shared}`}`;
  return `onset ${number}: ${names}, ${placeText(passage, onset.tick)}, ${length} long`;
}

/** How it was played, in a sentence. */
export function playedLine(quantised: Quantised, click: boolean): string {
  const { onsets, lagMicros, tempoBpm, sdMicros, blips } = quantised;
  const ms = Math.round(lagMicros / 1000);
  const lag = click && ms !== 0 ? `, ${Math.abs(ms)} ms ${ms > 0 ? 'after' : 'before'} the click` : '';
  const out = blips.length > 0 ? ` Left out: ${counted(blips.length, 'blip')}.` : '';
  return `${counted(onsets.length, 'onset')}, played at ${tempoBpm.toFixed(1)} a minute${lag}, ${Math.round(sdMicros / 1000)} ms about their places.${out}`;
}

/** @example placeText(passage, 13440) // 'bar 1 beat 2 1/3' */
function placeText(passage: Passage, tick: number): string {
  const beat = beatAt(beatGrid(passage), tick);
  const part = tick - beat.tick;
  if (part === 0) return `${barName(beat.bar)} beat ${beat.place}`;
  const shared = gcd(part, beat.beatTicks);
  return `${barName(beat.bar)} beat ${beat.place} ${part / shared}/${beat.beatTicks / shared}`;
}

function gcd(a: number, b: number): number {
  return b === 0 ? a : gcd(b, a % b);
}
