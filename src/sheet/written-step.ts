// The written form of a step: what a player reads is not what sounds. A landing is written with its own value and a
// fermata, a leaned note with a tenuto sign, and what came later by the lean stands in its own place again; the notes
// of a switchback carry their numbers in the line. Exact lengths stay in MIDI files and in `fettle steps --json`.

import { onsetsOfAll, type Step, type StepOnset } from '../drills/step.ts';
import { unslurred } from '../drills/steps-passage.ts';
import type { Annotation } from '../music/annotation.ts';
import type { Articulation, Note } from '../music/onset.ts';
import { onsetNumbered, type Span } from '../music/span.ts';
import type { FingerMarks } from './sheet.ts';

export interface WrittenStep {
  readonly written: Step;
  /** Ticks as the step's onsets have them. */
  readonly annotations: readonly Annotation[];
}

export interface WrittenForm {
  readonly drill: string;
  readonly span: Span;
  /** Onset numbers where the bad intervals begin. */
  readonly snags: readonly number[];
  readonly marks: FingerMarks;
}

export function writtenStep(step: Step, { drill, span, snags, marks }: WrittenForm): WrittenStep {
  switch (drill) {
    case 'tenuto':
      return withMarks(leaned(step, span), marks, []);
    case 'switchback':
      // Out and back, the music's slurs have no place.
      return {
        written: rewritten(step, (onset) => ({ ...onset, notes: unslurred(onset.notes) })),
        annotations: lineNumbers(step, span),
      };
    default:
      return withMarks(landed(step), marks, snagBrackets(step, snags));
  }
}

/** A step keeps the fingerings of its passage. */
function withMarks(written: Step, marks: FingerMarks, others: readonly Annotation[]): WrittenStep {
  const under = onsetsOfAll(written).flatMap(({ tick, number }): Annotation[] => {
    const text = marks.get(number);
    return text === undefined ? [] : [{ kind: 'under', tick, text }];
  });
  return { written, annotations: [...others, ...under] };
}

/** A landing is marked where it is written; what it is held is up to the fermata. */
function landed(step: Step): Step {
  if (!step.run.landing) return step;
  return rewritten(step, (onset) =>
    onset.tick === step.run.stopTick
      ? { ...onset, notes: onset.notes.map((note) => marked(note, 'fermata')) }
      : onset,
  );
}

/** The music as it is written and barred, the leaned note marked. */
function leaned(step: Step, { passage, first, last }: Span): Step {
  const asWritten = rewritten(step, (onset) => {
    const { tick, notes } = onsetNumbered(passage, onset.number);
    const own = notes.filter((note) => onset.notes.some(({ pitch }) => pitch === note.pitch));
    return { ...onset, tick, notes: onset.leanTicks ? own.map((note) => marked(note, 'tenuto')) : own };
  });
  const startTick = onsetNumbered(passage, first).tick;
  const stopTick = onsetNumbered(passage, last).tick;
  // What keeps the beat has the passage's own bars.
  return { ...asWritten, run: { ...asWritten.run, pulse: 'click', startTick, stopTick } };
}

function rewritten(step: Step, change: (onset: StepOnset) => StepOnset): Step {
  return { ...step, lines: step.lines.map((line) => ({ ...line, onsets: line.onsets.map(change) })) };
}

function lineNumbers(step: Step, { first }: Span): Annotation[] {
  return onsetsOfAll(step).map(({ tick, number }) => ({
    kind: 'under',
    tick,
    text: String(number - first + 1),
  }));
}

/** The snag in its window. */
function snagBrackets(step: Step, snags: readonly number[]): Annotation[] {
  const onsets = onsetsOfAll(step);
  return snags.flatMap((snag): Annotation[] => {
    const from = onsets.find(({ number }) => number === snag);
    const to = onsets.find(({ number }) => number === snag + 1);
    return from && to ? [{ kind: 'bracket', tick: from.tick, endTick: to.tick, text: 'snag' }] : [];
  });
}

/** Grace notes carry no marks of their own. */
function marked(note: Note, mark: Articulation): Note {
  if (note.ornament === 'grace') return note;
  return { ...note, articulations: [...new Set([...(note.articulations ?? []), mark])] };
}
