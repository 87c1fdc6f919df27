// Where a span stands on its ladder, to be kept between sittings. Plain data, versioned.

import { type Span, spanOnsets } from '../music/span.ts';
import { EXIT, fail, ok, type Result } from '../problem.ts';
import { type Ladder, type LadderPlan, startLadder } from './ladder.ts';

export const LADDER_MEMORY_FORMAT = 1;

export interface LadderMemory {
  readonly format: typeof LADDER_MEMORY_FORMAT;
  readonly plan: LadderPlan;
  readonly rung: number;
  readonly done: boolean;
}

/**
 * One ladder a passage, selection of its parts and hands, span and drill: the name under which it is kept. Another hand
 * of the same bars is another ladder.
 */
export function ladderKey(span: Span, drill: string): string {
  const { passage, first, last } = span;
  const parts = passage.parts.map(({ name }) => name);
  const staves = new Set(spanOnsets(span).flatMap(({ notes }) => notes.map(({ staff }) => staff)));
  return JSON.stringify([passage.name, parts, [...staves].sort(), first, last, drill]);
}

/** A half-counted row of clean takes is not kept: a new sitting has to show them anew. */
export function rememberLadder({ plan, rung, done }: Ladder): LadderMemory {
  return { format: LADDER_MEMORY_FORMAT, plan, rung, done };
}

/** The ladder as it was left; refused where what was kept is not what this program writes. */
export function recallLadder(kept: unknown): Result<Ladder> {
  if (!isMemory(kept)) return unreadable('it is not a ladder of this format');
  const ladder = startLadder(kept.plan);
  if (!ladder.ok) return unreadable(ladder.problem.message);
  if (kept.rung >= ladder.value.rungs.length) return unreadable(`rung ${kept.rung} does not exist`);
  // A ladder that has been left once does not begin again with long strides.
  return ok({
    ...ladder.value,
    rung: kept.rung,
    done: kept.done,
    jumping: ladder.value.jumping && kept.rung === 0,
  });
}

function isMemory(kept: unknown): kept is LadderMemory {
  if (typeof kept !== 'object' || kept === null) return false;
  const { format, plan, rung, done } = kept as Partial<Record<keyof LadderMemory, unknown>>;
  if (format !== LADDER_MEMORY_FORMAT || typeof done !== 'boolean') return false;
  return Number.isInteger(rung) && (rung as number) >= 0 && typeof plan === 'object' && plan !== null;
}

function unreadable(state: string): Result<never> {
  return fail({
    code: 'ladder.memory',
    message: `Cannot take up the ladder where it was left: ${state}`,
    hint: 'It starts anew from its first rung.',
    exitStatus: EXIT.record,
  });
}
