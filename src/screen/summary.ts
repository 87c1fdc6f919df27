// What came of a session, step by step, on the screen at its end.

import type { Passage } from '../music/passage.ts';
import { costliestInterval } from '../session/costly-interval.ts';
import { type Session, type ShownVerdict, type StepTally, shownReport } from '../session/session.ts';
import { costliestWords } from '../wording/costliest.ts';
import { counted, stepTitle } from '../wording/counted.ts';
import { sectionSentence } from '../wording/section.ts';
import { takeSentence } from '../wording/sentence.ts';
import { type Canvas, fitWords, put, putRight, putWrapped } from './canvas.ts';

const STATE_WORDS = { passed: '+ passed ', skipped: '> skipped', open: '- open   ' } as const;

/** Fills the rows from `first` to `lastRow`: how many takes, what cost them most, and as many steps as there is room for. */
export function putSummary(canvas: Canvas, session: Session, first: number, lastRow: number): void {
  const width = canvas.size.columns - 2;
  const roomy = lastRow - first >= 12;
  let row = first;
  put(canvas, row++, 1, 'Done.', 'strong');
  const takes =
    session.takes === 0
      ? 'No take played.'
      : `${counted(session.takes, 'take')}, ${session.cleanTakes} clean.`;
  put(canvas, row++, 1, fitWords(takes, width));
  const costliest = session.plan.runThroughs === undefined ? costliestInterval(session.costs) : undefined;
  if (costliest !== undefined)
    row += putWrapped(canvas, row, 1, costliestWords(costliest), {
      width,
      rows: lastRow - row,
      role: 'strong',
    });
  const last = session.shown && lastWords(session.shown, session.plan.span.passage);
  if (last !== undefined && roomy)
    row += putWrapped(canvas, row, 1, `The last take: ${last}`, { width, rows: lastRow - row });
  if (roomy) row++;
  const { shown, left } = stepsShown(session.tallies, lastRow - row + 1);
  for (const index of shown) putStep(canvas, row++, session, index);
  if (left.length > 0 && row <= lastRow) put(canvas, row, 1, fitWords(leftWords(left), width), 'dim');
}

/** Of several players what was said of all of them. */
function lastWords(shown: ShownVerdict, passage: Passage): string {
  return shown.section ? sectionSentence(shown.section, passage) : takeSentence(shownReport(shown), passage);
}

function putStep(canvas: Canvas, row: number, session: Session, index: number): void {
  const tally = session.tallies[index]!;
  const { drill, step } = session.steps[index]!;
  const takes = takesWords(tally);
  const wide = canvas.size.columns >= 80;
  const width = canvas.size.columns - 2;
  const name = `${STATE_WORDS[tally.state]} ${stepTitle(drill, step.run.name)}`;
  const room = wide ? 48 : Math.max(0, width - takes.length - 2);
  put(canvas, row, 1, fitWords(name, room), tally.state === 'passed' ? 'good' : 'plain');
  if (wide) put(canvas, row, 50, takes, 'dim');
  else if (takes.length < width / 2) putRight(canvas, row, takes, 'dim');
}

/** A step that was taken up behind has no takes of this sitting. */
function takesWords({ takes, cleanTakes, state }: StepTally): string {
  if (takes > 0) return `${cleanTakes} clean of ${takes}`;
  return state === 'passed' ? 'in an earlier sitting' : 'not played';
}

/**
 * Which steps are shown in so many rows, in order, and which are left for the line under them: those that were left
 * open come first, then those that cost the most takes.
 */
export function stepsShown(
  tallies: readonly StepTally[],
  rows: number,
): { readonly shown: readonly number[]; readonly left: readonly StepTally[] } {
  const all = tallies.map((tally, index) => ({ tally, index }));
  if (tallies.length <= rows) return { shown: all.map(({ index }) => index), left: [] };
  const cost = ({ takes, cleanTakes }: StepTally) => takes - cleanTakes;
  const worthFirst = [...all].sort(
    (a, b) =>
      Number(b.tally.state === 'open') - Number(a.tally.state === 'open') ||
      cost(b.tally) - cost(a.tally) ||
      a.index - b.index,
  );
  const kept = worthFirst.slice(0, Math.max(0, rows - 1));
  return {
    shown: kept.map(({ index }) => index).sort((a, b) => a - b),
    left: worthFirst.slice(kept.length).map(({ tally }) => tally),
  };
}

/** @example leftWords(tallies) // 'and 12 steps more: 10 passed, 2 open' */
function leftWords(left: readonly StepTally[]): string {
  const parts = (['passed', 'skipped', 'open'] as const).flatMap((state) => {
    const count = left.filter((tally) => tally.state === state).length;
    return count > 0 ? [`${count} ${state}`] : [];
  });
  const only = left.length > 1 && parts.length === 1 ? `all ${left[0]!.state}` : parts.join(', ');
  return `and ${counted(left.length, 'step')} more: ${only}`;
}
