// The plan of a passage, part by part. A span or a drill keeps the plan of its passage: what is written into the music
// holds wherever it is practised.

import { INSTRUMENTS } from '../music/instrument.ts';
import type { Bar } from '../music/meter.ts';
import type { Passage } from '../music/passage.ts';
import { EXIT, fail, ok, type Result } from '../problem.ts';
import { type Decision, decisions, type PlannedSlide, slidesOf } from './decision.ts';
import { type Demand, demandsOf } from './demand.ts';
import type { Keywork } from './fingering.ts';
import { fingeredLine, type LineNote } from './line.ts';
import { type Planned, planFingerings } from './plan.ts';
import { FINGERED, type FingeringTable, fingeringTable } from './table.ts';

export interface PartPlan {
  /** Index into the passage's parts. */
  readonly part: number;
  readonly table: FingeringTable;
  /** `onset` is an index into the passage's onsets. */
  readonly notes: readonly LineNote[];
  /** One for each note. */
  readonly plan: readonly Planned[];
  readonly decisions: readonly Decision[];
  readonly slides: readonly PlannedSlide[];
  readonly demands: readonly Demand[];
}

/**
 * The plans of the parts that have a table, at the goal tempo. A problem where no part has one, and where a part has
 * several notes at once.
 * @param keywork What the instruments have of the keywork that not all have; as usual where not told.
 */
export function passagePlan(passage: Passage, keywork?: readonly Keywork[]): Result<readonly PartPlan[]> {
  const known = KNOWN.get(passage) ?? new Map<string, Result<readonly PartPlan[]>>();
  KNOWN.set(passage, known);
  const keys = keywork?.join() ?? 'as usual';
  const plan = known.get(keys) ?? newPlan(passage, keywork);
  known.set(keys, plan);
  return plan;
}

/** Plans that were made already, by keywork: a sheet, a forecast and every step ask for the same one. */
const KNOWN = new WeakMap<Passage, Map<string, Result<readonly PartPlan[]>>>();

function newPlan(passage: Passage, keywork: readonly Keywork[] | undefined): Result<readonly PartPlan[]> {
  const plans: PartPlan[] = [];
  for (const [part, { instrument, name }] of passage.parts.entries()) {
    const table = fingeringTable(instrument, keywork);
    if (!table) continue;
    const { notes, chords } = fingeredLine(passage.onsets, part, passage.tempo);
    if (chords.length > 0) return fail(chordProblem(passage, name, chords));
    plans.push(planOfLine(part, table, notes));
  }
  return plans.length > 0 ? ok(plans) : fail(noTableProblem(passage));
}

export function planOfLine(part: number, table: FingeringTable, notes: readonly LineNote[]): PartPlan {
  return withPlan(part, table, notes, planFingerings(table, notes));
}

/** What follows from fingerings that are chosen already. */
export function withPlan(
  part: number,
  table: FingeringTable,
  notes: readonly LineNote[],
  plan: readonly Planned[],
): PartPlan {
  return {
    part,
    table,
    notes,
    plan,
    decisions: decisions(table, notes, plan),
    slides: slidesOf(table, plan),
    demands: demandsOf(table, notes, plan),
  };
}

function noTableProblem({ parts }: Passage) {
  const names = [...new Set(parts.map(({ instrument }) => INSTRUMENTS[instrument].name))];
  const keyboard = parts.some(({ instrument }) => instrument === 'keyboard');
  return {
    code: 'fingering.no-table',
    message: `Cannot plan fingerings for the ${names.join(', ')}: there is no table for it${keyboard ? ', for hands and fingers on a keyboard are another matter' : ''}`,
    hint: `Tables are there for ${FINGERED.join(', ')}. Written for one of them, whatever the file says: --instrument clarinet`,
    exitStatus: EXIT.usage,
  };
}

function chordProblem({ bars, onsets }: Passage, part: string, chords: readonly number[]) {
  const first = chords[0]!;
  const bar = barAt(bars, onsets[first]!.tick);
  const more = chords.length > 1 ? ` and ${chords.length - 1} more` : '';
  return {
    code: 'fingering.chords',
    message: `Cannot plan fingerings for the ${part}: it has several notes at once at onset ${first + 1}${bar ? ` (bar ${bar.number})` : ''}${more}, and a wind instrument plays one`,
    hint: 'Choose one line of it: --melody, --voice 1 or --part NAME.',
    exitStatus: EXIT.usage,
  };
}

function barAt(bars: readonly Bar[], tick: number): Bar | undefined {
  return bars.findLast((bar) => bar.startTick <= tick);
}
