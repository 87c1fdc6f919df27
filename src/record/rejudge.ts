// A kept take by the judge of today.

import { foldTake, type KeptPlaying } from '../take/fold.ts';
import { JUDGE_VERSION } from '../take/judge-version.ts';
import type { TakeResult } from '../take/result.ts';
import type { Entry } from './entry.ts';
import { keptVerdict } from './kept-verdict.ts';

/**
 * The entry with what today's judge says of it, the old judgement kept beside it; undefined where nothing changes. What
 * the gate did with the take at the time stays: the player went on from it.
 */
export function rejudged(
  entry: Entry,
  playing: KeptPlaying,
  inWords: (result: TakeResult) => string,
): Entry | undefined {
  const result = foldTake(playing);
  const verdict = keptVerdict(result.verdict, playing.terms, entry.together !== undefined);
  const sentence = inWords(result);
  const same =
    entry.clean === result.clean &&
    entry.sentence === sentence &&
    JSON.stringify(entry.verdict) === JSON.stringify(verdict);
  if (same) return undefined;
  const { judge, clean, sentence: said } = entry;
  return {
    ...entry,
    clean: result.clean,
    judge: JUDGE_VERSION,
    sentence,
    verdict,
    earlier: [...(entry.earlier ?? []), { judge, clean, sentence: said }],
  };
}
