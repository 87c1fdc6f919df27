// Where a ladder was left. It is told from the takes of the last sitting on it and kept nowhere else: its first take says
// on which rung that sitting began, and the climb from there is made again.

import { ROUNDED_BPM } from '../music/tempo.ts';
import type { EntryHeading } from '../record/entry.ts';
import type { Ladder } from './ladder.ts';
import { ladderAfter, onOtherStep } from './rounds.ts';

/**
 * The ladder asked for, on the rung where it was left; as asked where none like it was climbed. A half-counted row of
 * clean takes is not taken up: a new sitting has to show them anew, and so it has a goal that was held.
 * @param takes of one passage, span and drill, in the order in which they were played; of one step where each step
 *   climbs by itself
 */
export function leftLadder(asked: Ladder, takes: readonly EntryHeading[]): Ladder {
  const climbed = takes.filter((take) => take.counted && isOn(asked, take));
  const sitting = climbed.filter((take) => take.sitting === climbed.at(-1)?.sitting);
  const rungOf = (take: EntryHeading) =>
    asked.rungs.findIndex((bpm) => Math.abs(bpm - take.tempoBpm) <= ROUNDED_BPM);
  // At a tempo of the player's own a take says nothing of the rung.
  const begins = sitting.findIndex((take) => rungOf(take) >= 0);
  if (begins < 0) return asked;
  const rung = rungOf(sitting[begins]!);
  let ladder: Ladder = { ...asked, rung, jumping: asked.jumping && rung === 0 };
  let step: string | undefined;
  for (const { stepName, clean, tempoBpm, ladder: kept } of sitting.slice(begins)) {
    const here = stepName === step ? ladder : onOtherStep(ladder);
    ladder = ladderAfter(here, [{ clean, bpm: tempoBpm, lastStep: kept?.lastStep ?? false }]);
    step = stepName;
  }
  return { ...asked, rung: ladder.rung, jumping: asked.jumping && ladder.rung === 0 };
}

/** A ladder of other rungs or rules is another one. */
function isOn({ plan }: Ladder, { ladder: kept }: EntryHeading): boolean {
  if (!kept) return false;
  const fields: Readonly<Record<string, unknown>> = { ...kept };
  return Object.entries(plan).every(([name, value]) => fields[name] === value);
}
