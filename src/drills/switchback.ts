// Switchback: one note further each time, out and back, off the beat on purpose. The turning note at the bottom is
// struck once: the whole pattern over n onsets has n² - n + 1 notes (n = 4: 1 2 1 2 3 2 1 2 3 4 3 2 1).

import { barAt, barTicks } from '../music/meter.ts';
import type { Span } from '../music/span.ts';
import type { Tempo } from '../music/tempo.ts';
import { ok, type Result } from '../problem.ts';
import type { Drill, DrillSettings } from './drill.ts';
import { freeStep } from './free-run.ts';
import { invert } from './inversion.ts';
import { refuse } from './refusal.ts';
import type { Step, StepOnset } from './step.ts';
import { stepOnsets } from './step-onset.ts';
import { commonestInterval, patternPlaces, turningPlaces } from './switchback-pattern.ts';
import { checkNotes, checkSpan } from './workable-span.ts';

export const switchback: Drill = {
  name: 'switchback',
  explanation:
    'One note further each time, out and back to the beginning, all notes equal and without a click. For fingers that know the notes but not the way from one to the next: the pattern never falls on the same beat twice, so every interval is met from both sides.',
  variants: {
    'from-last': 'out from the last note towards the first',
    retrograde: 'the whole pattern backwards: the longest lap first, one note less each time',
    inversion: 'the line mirrored about its first note, by the steps of the key',
    'chromatic-inversion': 'the line mirrored about its first note, by semitones',
    'at-turns': 'out to the next place where the line changes direction or repeats a note',
    'in-one-go': 'the whole pattern as one step, not lap by lap',
    'with-click': 'with a click on the beats of the tempo',
  },
  plainVariants: {
    retrograde: 'backwards',
    inversion: 'mirrored',
    'chromatic-inversion': 'mirrored-by-semitones',
  },
  makeSteps(span, settings) {
    const checked = checkSpan(span);
    if (!checked.ok) return checked;
    const line = equalLine(span, settings);
    if (!line.ok) return line;
    const laps = lapsOf(settings, line.value);
    const counted = checkNotes(span, 'switchback', laps.map(noteCount));
    return counted.ok ? ok(patternSteps(span, settings, line.value, laps)) : counted;
  },
};

/** The notes that the pattern walks over, in its own order, all of one length. */
interface EqualLine {
  readonly onsets: readonly StepOnset[];
  readonly noteTicks: number;
}

function equalLine(span: Span, settings: DrillSettings): Result<EqualLine> {
  const written = stepOnsets(span.passage, span);
  const noteTicks = settings.noteTicks ?? commonestInterval(written);
  if (!Number.isInteger(noteTicks) || noteTicks < 1) {
    return refuse(
      'note-value',
      `Cannot make switchback with notes of ${noteTicks} ticks: a note value is a whole number of ticks over 0`,
      'A sixteenth is 2520 ticks.',
    );
  }
  let onsets: readonly StepOnset[] = written;
  const kind = inversionKind(settings);
  if (kind) {
    const axis = written[0]!.notes.filter((note) => note.ornament !== 'grace').at(-1)!.spelling;
    const inverted = invert(span.passage, written, { kind, axis });
    if (!inverted.ok) return inverted;
    onsets = inverted.value;
  }
  const equal = onsets.map((onset) => ({ ...onset, ...equalNotes(onset, noteTicks) }));
  return ok({ onsets: has(settings, 'from-last') ? equal.reverse() : equal, noteTicks });
}

/** The turns of each lap; the whole pattern is one lap of all of them. */
function lapsOf(settings: DrillSettings, line: EqualLine): number[][] {
  const turns = has(settings, 'at-turns')
    ? turningPlaces(line.onsets)
    : Array.from({ length: line.onsets.length - 1 }, (_, i) => i + 1);
  if (has(settings, 'retrograde')) turns.reverse();
  return has(settings, 'in-one-go') ? [turns] : turns.map((turn) => [turn]);
}

function noteCount(lap: readonly number[]): number {
  return lap.reduce((sum, turn) => sum + 2 * turn, 0) + 1;
}

function patternSteps(
  span: Span,
  settings: DrillSettings,
  line: EqualLine,
  laps: readonly (readonly number[])[],
): Step[] {
  const leadInBeats = has(settings, 'with-click') ? beatsOfLeadIn(span, settings.tempo) : 0;
  return laps.map((lap) => {
    const name = lap.length > 1 || laps.length === 1 ? 'the whole pattern' : lapName(line, lap[0]!);
    return freeStep(span.passage, {
      name,
      tempo: settings.tempo,
      stopTick: (noteCount(lap) - 1) * line.noteTicks,
      leadInBeats,
      writeOut: () =>
        patternPlaces(lap).map((place, p) => ({ ...line.onsets[place]!, tick: p * line.noteTicks })),
    });
  });
}

function lapName(line: EqualLine, turn: number): string {
  return `lap ${turn}: notes ${line.onsets[0]!.number} to ${line.onsets[turn]!.number}`;
}

/** A bar's worth of beats as the tempo counts them, never less than two. */
function beatsOfLeadIn({ passage, first }: Span, { beatTicks }: Tempo): number {
  const bar = passage.bars[barAt(passage.bars, passage.onsets[first - 1]!.tick)]!;
  return Math.max(2, Math.round(barTicks(bar.meter) / beatTicks));
}

function equalNotes(onset: StepOnset, noteTicks: number): Pick<StepOnset, 'durationTicks' | 'notes'> {
  const notes = onset.notes.map((note) =>
    note.ornament === 'grace' ? note : { ...note, durationTicks: noteTicks },
  );
  return { durationTicks: noteTicks, notes };
}

function inversionKind(settings: DrillSettings) {
  if (has(settings, 'chromatic-inversion')) return 'chromatic';
  return has(settings, 'inversion') ? 'diatonic' : undefined;
}

function has(settings: DrillSettings, variant: string): boolean {
  return settings.variants?.includes(variant) ?? false;
}
