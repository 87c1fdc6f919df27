// A sheet from a span and the drills that are to be on it.

import { ladderRungs } from '../coaching/ladder-rungs.ts';
import { findDrill } from '../drills/catalogue.ts';
import type { DrillSettings } from '../drills/drill.ts';
import type { Step } from '../drills/step.ts';
import { layEndToEnd } from '../drills/steps-passage.ts';
import { type Annotation, shifted } from '../music/annotation.ts';
import type { KeyChange, Passage } from '../music/passage.ts';
import type { Span } from '../music/span.ts';
import { clefsOf } from '../notation/written/voice.ts';
import { ok, type Result } from '../problem.ts';
import { capitalised } from '../wording/counted.ts';
import { practiceWords } from '../wording/practice.ts';
import { withOneMark } from './one-mark.ts';
import { type FingerMarks, type Sheet, type SheetSection, spanMusic } from './sheet.ts';
import { type WrittenForm, writtenStep } from './written-step.ts';

export interface SheetWishes {
  readonly drills: readonly string[];
  /** The tempo is the first rung. */
  readonly settings: DrillSettings;
  readonly goalBpm: number;
  readonly subtitle: readonly [left: string, right: string];
  /** Why the snag is where it is, where somebody might ask. */
  readonly snagWords?: string;
  readonly marks?: FingerMarks;
  readonly footer?: string;
}

/** Boxes to tick, start and goal counted: as many as stand in one line. */
const RUNGS = 8;

/** All or nothing: the first drill that refuses is the answer. */
export function makeSheet(span: Span, wishes: SheetWishes): Result<Sheet> {
  const { settings, footer, subtitle, snagWords } = wishes;
  const snags = settings.snags ?? [];
  const marks = wishes.marks ?? new Map();
  // The clef of a part does not change with where a drill takes it.
  const clefs = clefsOf(span.passage);
  const asRead = (music: Passage) => ({ ...withOneMark(music), clefs });
  const sections: SheetSection[] = [
    {
      heading: 'The passage',
      words: snagWords === undefined ? [] : [snagWords],
      rungsBpm: [],
      music: asRead(spanMusic(span, snags, marks)),
    },
  ];
  for (const name of wishes.drills) {
    const drill = findDrill(name);
    if (!drill.ok) return drill;
    const steps = drill.value.makeSteps(span, settings);
    if (!steps.ok) return steps;
    sections.push({
      heading: capitalised(drill.value.name),
      words: [practiceWords(drill.value.name)],
      rungsBpm: rungsBpm(settings.tempo.bpm, wishes.goalBpm),
      music: asRead(drillMusic(steps.value, { drill: drill.value.name, span, snags, marks })),
    });
  }
  return ok({ title: span.passage.title, subtitle, sections, ...(footer === undefined ? {} : { footer }) });
}

/** Steps numbered in boxes over the staff; the fermata says where the run stops, so a hold takes no room. */
function drillMusic(steps: readonly Step[], form: WrittenForm): Passage {
  const laid = steps.map((step, i) => {
    const { written, annotations } = writtenStep(step, form);
    return {
      step: written,
      mark: String(i + 1),
      annotations: [...annotations, ...titleOf(written, form.drill)],
    };
  });
  return layEndToEnd(laid, form.span.passage, { landings: 'as written' });
}

/** What a number alone does not say. */
function titleOf({ run, lines }: Step, drill: string): Annotation[] {
  if (drill !== 'tenuto' && drill !== 'rhythms') return [];
  return [{ kind: 'text', tick: lines[0]!.onsets[0]!.tick, text: run.name }];
}

/** Whole beats a minute, rising; one where start and goal are the same. */
function rungsBpm(startBpm: number, goalBpm: number): number[] {
  if (goalBpm <= startBpm) return [Math.round(goalBpm)];
  const rungs = ladderRungs({ startBpm, goalBpm, stepShare: 0.04, rungCount: RUNGS });
  return [...new Set(rungs.map(Math.round))];
}

/** The whole sheet as one passage: a section begins on a new line, with its name over it. */
export function sheetMusic({ title, sections }: Sheet): Passage {
  const first = sections[0]!.music;
  let at = 0;
  const placed = sections.map(({ heading, music }) => {
    const start = at;
    at += music.endTick;
    return { heading, music, start };
  });
  const moved = <T extends { readonly tick: number }>(of: (music: Passage) => readonly T[]) =>
    placed.flatMap(({ music, start }) => of(music).map((item) => ({ ...item, tick: item.tick + start })));
  const bars = placed.flatMap(({ music, start }) =>
    music.bars.map((bar) => ({ ...bar, startTick: bar.startTick + start })),
  );
  return {
    ...first,
    title,
    keys: withoutRepeats(moved(({ keys }) => keys)),
    // Every section says its own tempo; the first has the passage's.
    tempoChanges: moved((music) =>
      music === first ? music.tempoChanges : [{ tick: 0, tempo: music.tempo }, ...music.tempoChanges],
    ),
    bars: bars.map((bar, i) => ({ ...bar, number: i + 1 })),
    rehearsalMarks: moved(({ rehearsalMarks }) => rehearsalMarks),
    onsets: moved(({ onsets }) => onsets),
    endTick: at,
    annotations: placed.flatMap(({ heading, music, start }) => [
      { kind: 'new-system', tick: start } as const,
      { kind: 'text', tick: start, text: heading } as const,
      ...(music.annotations ?? []).map((one) => shifted(one, start)),
    ]),
  };
}

/** A key is written where it changes. */
function withoutRepeats(keys: readonly KeyChange[]): KeyChange[] {
  return keys.filter((key, i) => key.fifths !== keys[i - 1]?.fifths || key.mode !== keys[i - 1]?.mode);
}
