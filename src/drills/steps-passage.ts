// A drill's steps laid end to end as one passage, for printing: each step begins in a bar of its own, at its own place
// in it, rests fill the bars, and its name or number stands over it as a mark. A landing is written as long as it is
// held, or with its own value where the page says otherwise that it is held. Steps that keep the beat bring their own bars along (a step over a change of meter keeps both meters); free
// steps are barred from their first note in the meter of the passage's start.

import { type Annotation, shifted } from '../music/annotation.ts';
import { type Bar, barTicks } from '../music/meter.ts';
import type { Note, Onset } from '../music/onset.ts';
import type { KeyChange, Passage, RehearsalMark, TempoChange } from '../music/passage.ts';
import type { Tempo } from '../music/tempo.ts';
import { onsetsOfAll, type Step } from './step.ts';

export interface LaidStep {
  readonly step: Step;
  /** What stands over it; absent: its name. */
  readonly mark?: string;
  /** Ticks as the step's onsets have them. */
  readonly annotations?: readonly Annotation[];
}

export interface LayingOut {
  /** Absent: the passage's. */
  readonly title?: string;
  readonly landings: 'as held' | 'as written';
}

/** Every step under its name, landings as long as they are held: as it sounds. */
export function stepsPassage(steps: readonly Step[], passage: Passage, title = passage.title): Passage {
  return layEndToEnd(
    steps.map((step) => ({ step })),
    passage,
    { title, landings: 'as held' },
  );
}

/** `passage` is the one that the steps were made from. No steps give a passage without onsets. */
export function layEndToEnd(
  steps: readonly LaidStep[],
  passage: Passage,
  { title = passage.title, landings }: LayingOut,
): Passage {
  const bars: Bar[] = [];
  const onsets: Onset[] = [];
  const rehearsalMarks: RehearsalMark[] = [];
  const annotations: Annotation[] = [];
  const tempoChanges: TempoChange[] = [];
  const keys: KeyChange[] = [];
  let tempo: Tempo | undefined;
  for (const laid of steps) {
    const { step } = laid;
    const start = endOf(bars);
    const printed = landings === 'as held' ? heldOnsets(step) : onsetsOfAll(step);
    const own = barsOfStep(step, passage, printed);
    const shift = start - own.fromTick;
    for (const bar of own.bars) {
      bars.push({ ...bar, number: bars.length + 1, startTick: bar.startTick + shift });
    }
    rehearsalMarks.push({ tick: start, text: laid.mark ?? step.run.name });
    for (const one of laid.annotations ?? []) annotations.push(shifted(one, shift));
    for (const key of keysOfStep(step, passage, own)) {
      const last = keys.at(-1);
      if (last?.fifths !== key.fifths || last.mode !== key.mode)
        keys.push({ ...key, tick: key.tick + shift });
    }
    if (tempo && (tempo.bpm !== step.run.tempo.bpm || tempo.beatTicks !== step.run.tempo.beatTicks)) {
      tempoChanges.push({ tick: start, tempo: step.run.tempo });
    }
    tempo = step.run.tempo;
    for (const onset of withSlursEnded(printed)) {
      onsets.push({ tick: onset.tick + shift, notes: onset.notes });
    }
  }
  return {
    name: passage.name,
    title,
    ...(passage.composer === undefined ? {} : { composer: passage.composer }),
    tempo: steps[0]?.step.run.tempo ?? passage.tempo,
    keys: keys.length > 0 ? keys : passage.keys.slice(0, 1),
    tempoChanges,
    bars: bars.length > 0 ? bars : passage.bars.slice(0, 1),
    parts: passage.parts,
    rehearsalMarks,
    onsets,
    ...(annotations.length > 0 ? { annotations } : {}),
    endTick: endOf(bars.length > 0 ? bars : passage.bars.slice(0, 1)),
  };
}

function endOf(bars: readonly Bar[]): number {
  const last = bars.at(-1);
  return last ? last.startTick + last.durationTicks : 0;
}

interface StepBars {
  /** In the step's own ticks. */
  readonly fromTick: number;
  readonly bars: readonly Bar[];
}

/** Whole bars around the step and its hold; a pickup becomes a whole bar, so that places in the bar stay. */
function barsOfStep(step: Step, passage: Passage, printed: readonly Onset[]): StepBars {
  const endTick = soundingEnd(step, printed);
  const source =
    step.run.pulse === 'click' ? passage.bars.findIndex((bar) => endOf([bar]) > step.run.startTick) : 0;
  let model = passage.bars[Math.max(0, source)] ?? passage.bars.at(-1)!;
  if (model.pickup && step.run.pulse === 'free') model = { ...model, startTick: 0 };
  const bars: Bar[] = [];
  const whole = barTicks(model.meter);
  const fromTick =
    step.run.pulse === 'free'
      ? Math.min(0, step.run.startTick)
      : barStartBefore(model, step.run.startTick, whole);
  let at = fromTick;
  let index = source;
  while (at < endTick || bars.length === 0) {
    const here = step.run.pulse === 'click' ? (passage.bars[index] ?? passage.bars.at(-1)!) : model;
    const first = bars.length === 0;
    // The head of a pickup bar is rest; past the passage's end its last meter goes on.
    const exact = step.run.pulse === 'click' && index >= 0 && index < passage.bars.length;
    const durationTicks = exact ? here.startTick + here.durationTicks - at : barTicks(here.meter);
    bars.push({ number: 0, startTick: at, durationTicks, meter: here.meter, pickup: false });
    at += durationTicks;
    index = first && source < 0 ? passage.bars.length : index + 1;
  }
  return { fromTick, bars };
}

/** Where the bar of a tick begins; for a pickup, where its whole bar would have begun. */
function barStartBefore(bar: Bar, tick: number, whole: number): number {
  if (bar.pickup) return bar.startTick + bar.durationTicks - whole;
  if (tick < bar.startTick + bar.durationTicks) return bar.startTick;
  return bar.startTick + Math.floor((tick - bar.startTick) / whole) * whole;
}

function soundingEnd(step: Step, printed: readonly Onset[]): number {
  let end = step.run.stopTick + 1;
  for (const onset of printed) {
    for (const note of onset.notes) end = Math.max(end, onset.tick + note.durationTicks);
  }
  return end;
}

/** Steps may cut a note short by the next onset; a landing lasts as long as it is held. */
function heldOnsets(step: Step): Onset[] {
  const onsets = onsetsOfAll(step);
  return onsets.map(({ tick, notes }, i) => {
    const isLanding = step.run.landing && i === onsets.length - 1;
    const held = step.run.endTick - step.run.stopTick;
    return {
      tick,
      notes: isLanding
        ? notes.map((n) => (n.ornament === 'grace' ? n : { ...n, durationTicks: Math.max(held, 1) }))
        : notes,
    };
  });
}

/** A slur that goes on in the music ends with the step. */
function withSlursEnded(onsets: readonly Onset[]): readonly Onset[] {
  return onsets.map((onset, i) =>
    i === onsets.length - 1 ? { ...onset, notes: unslurred(onset.notes) } : onset,
  );
}

export function unslurred(notes: readonly Note[]): Note[] {
  return notes.map(({ slurred: _, ...note }) => note);
}

function keysOfStep(step: Step, passage: Passage, own: StepBars): KeyChange[] {
  const at = step.run.pulse === 'click' ? Math.max(0, step.run.startTick) : 0;
  const first = passage.keys.findLast((k) => k.tick <= at) ?? passage.keys[0];
  const keys: KeyChange[] = first ? [{ ...first, tick: own.fromTick }] : [];
  if (step.run.pulse === 'click') {
    keys.push(...passage.keys.filter((k) => k.tick > step.run.startTick && k.tick <= step.run.stopTick));
  }
  return keys;
}
