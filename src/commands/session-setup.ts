// From the options of `work` and `steps` to a plan of a session.

import { foreseenSnags } from '../coaching/foreseen.ts';
import { startLadder } from '../coaching/ladder.ts';
import type { ClickPlacement } from '../drills/click-placement.ts';
import type { Drill, DrillSettings } from '../drills/drill.ts';
import { planDrills } from '../drills/drill-run.ts';
import {
  readClick,
  readDrillNames,
  readEvery,
  readHold,
  readNoteValue,
  readSnags,
  readVariants,
} from '../drills/settings-text.ts';
import { onsetsOfAll } from '../drills/step.ts';
import { type FingeredMusic, ownFingering } from '../fingering/line-plan.ts';
import { isInstrumentName } from '../music/instrument.ts';
import { nearWord } from '../music/near-word.ts';
import { readSpelling, spellingToPitch } from '../music/pitch.ts';
import { onsetNumbered, type Span } from '../music/span.ts';
import { tempoAt } from '../music/timing.ts';
import { type Selection, UNNAMED_PLAYER } from '../record/entry.ts';
import { USUAL_UP } from '../record/ladder-plan.ts';
import { CONTROLS, type Control } from '../session/event.ts';
import type { InstrumentControls, PlannedStep, SessionPlan } from '../session/plan.ts';
import { isToleranceName, TOLERANCES, type Tolerance } from '../take/tolerance.ts';
import { foreseenSentence, ownFingeringSentence } from '../wording/fingering.ts';
import { refuseIdleDrillOptions, refuseIdleLadderOptions, SNAG_DRILLS } from './idle-options.ts';
import { readKeywork } from './keywork-argument.ts';
import { tempoBpm, wholeNumber } from './number-argument.ts';
import type { PassageOptions } from './passage-argument.ts';
import type { DrillOptions, SessionOptions } from './session-options.ts';
import { need, usage } from './usage-problem.ts';

/** By rounds: so many takes of one step that were not clean bring the whole drill down a rung. */
const MISSES_DOWN_A_RUNG = 3;

/** Slow practice is assumed: two thirds of the goal, unless a tempo is asked for. */
export const SLOW = 2 / 3;

export function planSteps(span: Span, options: DrillOptions): PlannedStep[] {
  const drills = need(readDrillNames(options.drill ?? 'landings'));
  refuseIdleDrillOptions(drills, options);
  const names = drills.map((drill) => drill.name);
  const { click, ...told } = readSettings(span, drills, options);
  const settings = { ...told, ...(names.length > 1 ? { row: names } : {}) };
  const runs = need(planDrills(names, span, { ...settings, ...(click ? { click } : {}) }));
  return runs.flatMap(({ drill, steps }, drillRun) =>
    steps.map((step) => ({ drill: drill.name, drillRun, step, settings, ...(click ? { click } : {}) })),
  );
}

/** What the drills are told, from the options. */
export function readSettings(
  span: Span,
  drills: readonly Drill[],
  options: DrillOptions,
): DrillSettings & { click?: ClickPlacement } {
  const { passage, first } = span;
  const written = tempoAt(passage, onsetNumbered(passage, first).tick);
  const bpm =
    options.tempo === undefined ? Math.max(10, Math.round(written.bpm * SLOW)) : tempoBpm(options.tempo);
  return {
    tempo: { bpm, beatTicks: written.beatTicks },
    ...(options.every === undefined ? {} : { every: need(readEvery(options.every)) }),
    ...(options.hold === undefined ? {} : { hold: need(readHold(options.hold)) }),
    ...snagSettings(span, drills, options),
    ...(options.note === undefined ? {} : { noteTicks: need(readNoteValue(options.note)) }),
    ...(options.variant === undefined ? {} : { variants: need(readVariants(options.variant, drills)) }),
    ...(options.pulse === undefined ? {} : { click: need(readClick(options.pulse)) }),
  };
}

/** The snags that are named; for a drill that needs one and is told none, the one that the fingers foresee. */
function snagSettings(
  span: Span,
  drills: readonly Drill[],
  { snag, keywork }: DrillOptions,
): Pick<DrillSettings, 'snags'> {
  if (snag !== undefined) return { snags: need(readSnags(snag)) };
  if (!drills.some(({ name }) => SNAG_DRILLS.includes(name))) return {};
  const [hardest] = foreseenSnags(span, readKeywork(keywork, span.passage));
  return hardest ? { snags: [hardest.onset] } : {};
}

/** A tolerance by name; `steady` without one. */
export function readTolerance(name = 'steady'): Tolerance {
  if (isToleranceName(name)) return TOLERANCES[name];
  throw usage('option.tolerance', `Cannot use the tolerance "${name}": rough, steady or concert is needed`);
}

export function planSession(span: Span, options: SessionOptions): SessionPlan {
  const keywork = readKeywork(options.keywork, span.passage);
  const known = keywork ? { keywork } : {};
  const steps = withLadders(planSteps(span, options), options);
  const notice = noticeOf({ span, ...known }, steps, options);
  return {
    span,
    selection: selectionOf(options),
    steps,
    ...known,
    tolerance: readTolerance(options.tolerance),
    evenTouch: options.touch === 'even',
    passes: wholeNumber(options.passes ?? '3', 'the number of clean takes', { least: 1, most: 20 }),
    players: [
      {
        id: options.player ?? UNNAMED_PLAYER,
        name: options.player ?? UNNAMED_PLAYER,
        lagMicros: 0,
        controls: readControls(options, steps),
      },
    ],
    ...(options.minutes === undefined
      ? {}
      : { minutes: wholeNumber(options.minutes, 'the minutes', { least: 1, most: 240 }) }),
    quiet: options.quiet ?? false,
    ...(notice === undefined ? {} : { notice }),
  };
}

/** What was chosen for the player, and why: the snag, fingerings that are not the passage's. */
function noticeOf(
  music: FingeredMusic,
  steps: readonly PlannedStep[],
  options: SessionOptions,
): string | undefined {
  const own = ownFingering(
    music,
    steps.map(({ step }) => step),
  );
  const told = [foreseenNotice(music, steps, options), own && ownFingeringSentence(own)];
  const notice = told.filter((one) => one !== undefined).join(' ');
  return notice === '' ? undefined : notice;
}

function foreseenNotice(
  { span, keywork }: FingeredMusic,
  steps: readonly PlannedStep[],
  { snag }: SessionOptions,
): string | undefined {
  const chosen = steps.find(({ settings }) => settings.snags !== undefined)?.settings.snags;
  if (snag !== undefined || chosen === undefined) return undefined;
  return foreseenSentence(foreseenSnags(span, keywork).slice(0, 1), span);
}

/** Which music was asked for, as the record keeps it. What cannot be asked for was refused before. */
function selectionOf({ part, voice, hand, melody, instrument, groups }: PassageOptions): Selection {
  return {
    ...(part === undefined ? {} : { part }),
    ...(voice === undefined ? {} : { voice }),
    ...(hand === 'left' || hand === 'right' || hand === 'both' ? { hand } : {}),
    ...(melody ? { melody } : {}),
    ...(groups === undefined ? {} : { groups }),
    ...(instrument !== undefined && isInstrumentName(instrument) ? { instrument } : {}),
  };
}

/** "60-96": the drill climbs a ladder from the first tempo to the second, or each of its steps does. */
function withLadders(steps: readonly PlannedStep[], options: SessionOptions): PlannedStep[] {
  refuseIdleLadderOptions(options);
  if (options.ladder === undefined) return [...steps];
  const [, start, goal] = /^([\d.]+)-([\d.]+)$/.exec(options.ladder) ?? [];
  if (start === undefined || goal === undefined) {
    throw usage(
      'option.ladder',
      `Cannot climb the ladder "${options.ladder}": a start and a goal are needed`,
      'Such as --ladder 60-96.',
    );
  }
  const by = options.stepByStep ? 'step' : 'round';
  const ladder = need(
    startLadder({
      startBpm: tempoBpm(start),
      goalBpm: tempoBpm(goal),
      by,
      down: options.stepByStep ? 1 : MISSES_DOWN_A_RUNG,
      up: wholeNumber(options.up ?? `${USUAL_UP[by]}`, 'the number of clean takes for a rung up', {
        least: 1,
        most: 20,
      }),
      jump: options.jump ?? false,
      alternate: options.alternate ?? false,
    }),
  );
  return steps.map((step) => ({ ...step, ladder }));
}

function readControls(options: SessionOptions, steps: readonly PlannedStep[]): InstrumentControls {
  const notes: Record<number, Control> = {};
  const asked = options.control ?? [];
  // Looked at only where it matters: a long switchback has a million notes.
  const played = asked.length === 0 ? new Set<number>() : pitchesOf(steps);
  for (const text of asked) {
    const [note = '', control = ''] = text.split('=', 2);
    const spelling = readSpelling(note);
    if (!spelling) {
      throw usage(
        'option.control',
        `Cannot use the control "${text}": a sounding note and a control are needed, such as C2=again`,
      );
    }
    const pitch = spellingToPitch(spelling);
    if (played.has(pitch)) {
      throw usage(
        'option.control',
        `Cannot use ${note} as a control: it is a note of what is to be played, and playing it would ${control} every time`,
        'Choose a note that the passage does not need, such as the lowest of the instrument.',
      );
    }
    notes[pitch] = controlNamed(control);
  }
  return { notes, ...(options.pedal === undefined ? {} : { pedal: controlNamed(options.pedal) }) };
}

function pitchesOf(steps: readonly PlannedStep[]): ReadonlySet<number> {
  const pitches = new Set<number>();
  for (const { step } of steps)
    for (const { notes } of onsetsOfAll(step)) for (const { pitch } of notes) pitches.add(pitch);
  return pitches;
}

function controlNamed(text: string): Control {
  const control = CONTROLS.find((one) => one === text);
  if (control) return control;
  const near = nearWord(text, CONTROLS);
  throw usage(
    'option.control',
    `Cannot use "${text}" as a control: the controls are ${CONTROLS.join(', ')}`,
    near ? `Did you mean ${near}?` : undefined,
  );
}
