// From the options of `work` and `steps` to a plan of a session.

import { startLadder } from '../coaching/ladder.ts';
import { planDrills } from '../drills/combination.ts';
import type { DrillSettings } from '../drills/drill.ts';
import { readSettings } from '../drills/settings-text.ts';
import { isToleranceName, TOLERANCES } from '../matching/tolerance.ts';
import { nearWord } from '../music/near-word.ts';
import { spellingToPitch } from '../music/pitch.ts';
import type { Span } from '../music/span.ts';
import { beatTicksAt } from '../music/span.ts';
import { COMMANDS, type Command } from '../session/event.ts';
import type { Controls, PlannedStep, SessionPlan } from '../session/plan.ts';
import { need, type PassageOptions, tempoBpm, usage, wholeNumber } from './passage-argument.ts';

export interface DrillOptions extends PassageOptions {
  readonly tempo?: string;
  readonly drill?: string;
  readonly snag?: string;
  readonly every?: string;
  readonly hold?: string;
  readonly variant?: string;
  readonly pulse?: string;
}

export interface SessionOptions extends DrillOptions {
  readonly tolerance?: string;
  readonly passes?: string;
  readonly ladder?: string;
  readonly up?: string;
  readonly pedal?: string;
  readonly control?: readonly string[];
  readonly quiet?: boolean;
}

/** Slow practice is assumed: two thirds of the goal, unless a tempo is asked for. */
const SLOW = 2 / 3;

export function planSteps(span: Span, options: DrillOptions): PlannedStep[] {
  const { passage } = span;
  const bpm =
    options.tempo === undefined
      ? Math.max(10, Math.round(passage.tempo.bpm * SLOW))
      : tempoBpm(options.tempo);
  const tempo = { bpm, beatTicks: passage.tempo.beatTicks || beatTicksAt(passage, 0) };
  const settings: DrillSettings = { tempo, ...need(readSettings(options)) };
  const names = (options.drill ?? 'landings').split(',').map((name) => name.trim());
  const runs = need(planDrills(names, span, settings));
  return runs.flatMap((run) => run.steps.map((step) => ({ drill: run.drill, step, settings: run.settings })));
}

export function planSession(span: Span, options: SessionOptions): SessionPlan {
  const tolerance = options.tolerance ?? 'steady';
  if (!isToleranceName(tolerance))
    throw usage(
      'option.tolerance',
      `Cannot use the tolerance "${tolerance}": rough, steady or concert is needed`,
    );
  return {
    span,
    steps: planSteps(span, options),
    tolerance: TOLERANCES[tolerance],
    passes: wholeNumber(options.passes ?? '3', 'the number of clean takes', { least: 1, most: 20 }),
    players: ['player'],
    controls: readControls(options),
    quiet: options.quiet ?? false,
    ...(options.ladder === undefined ? {} : { ladder: need(readLadder(options.ladder, options.up ?? '2')) }),
  };
}

function readControls(options: SessionOptions): Controls {
  const notes: Record<number, Command> = {};
  for (const text of options.control ?? []) {
    const [note = '', command = ''] = text.split('=', 2);
    const spelling = /^([A-Ga-g])(b|#)?(-?\d)$/.exec(note);
    if (!spelling)
      throw usage(
        'option.control',
        `Cannot use the control "${text}": a sounding note and a control are needed, such as C2=again`,
      );
    const alter = spelling[2] === '#' ? 1 : spelling[2] === 'b' ? -1 : 0;
    const letter = spelling[1]!.toUpperCase() as 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G';
    notes[spellingToPitch({ letter, alter, octave: Number(spelling[3]) })] = controlNamed(command);
  }
  return { notes, ...(options.pedal === undefined ? {} : { pedal: controlNamed(options.pedal) }) };
}

function controlNamed(text: string): Command {
  const command = COMMANDS.find((one) => one === text);
  if (command) return command;
  const near = nearWord(text, COMMANDS);
  throw usage(
    'option.control',
    `Cannot use "${text}" as a control: the controls are ${COMMANDS.join(', ')}`,
    near ? `Did you mean ${near}?` : undefined,
  );
}
