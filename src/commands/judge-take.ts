// `fettle judge`: the verdict on a recorded take, in words or as JSON (format 1, documented in DEVELOPERS.md).

import { blipFingers } from '../coaching/blip-fingers.ts';
import type { Line } from '../drills/step.ts';
import { stepOnsets } from '../drills/step-onset.ts';
import type { Expectation } from '../matching/expectation.ts';
import { INSTRUMENTS } from '../music/instrument.ts';
import { onsetNumbered, type Span, spanOnsets } from '../music/span.ts';
import { pacesOf, tempoAt } from '../music/timing.ts';
import { handAlone } from '../take/hand-alone.ts';
import { judgementJson } from '../take/judgement-json.ts';
import { partOfTake } from '../take/part-of-take.ts';
import { judgedNotes } from '../take/result.ts';
import { counted } from '../wording/counted.ts';
import { noteNames } from '../wording/note-names.ts';
import { handAloneSentence, sentence } from '../wording/sentence.ts';
import { timingReport } from '../wording/timing-report.ts';
import { tempoBpm } from './number-argument.ts';
import { loadOwnSpan, type PassageOptions } from './passage-argument.ts';
import { print } from './print.ts';
import { readTolerance } from './session-setup.ts';
import { readTakeFile } from './take-file.ts';

export interface RecordedTakeOptions extends PassageOptions {
  readonly tempo?: string;
  readonly tolerance?: string;
  readonly touch?: 'even';
  readonly json?: boolean;
}

export async function judgeRecorded(
  argument: string,
  takePath: string,
  options: RecordedTakeOptions,
): Promise<void> {
  const span = await loadOwnSpan(argument, options);
  const tolerance = readTolerance(options.tolerance);
  const { notes: recorded, events } = readTakeFile(takePath);
  const { passage } = span;
  const askedTick = onsetNumbered(passage, span.first).tick;
  const tempo = {
    ...tempoAt(passage, askedTick),
    ...(options.tempo === undefined ? {} : { bpm: tempoBpm(options.tempo) }),
  };
  const onsets = spanOnsets(span);
  // A recording has no click of its own: the tempo is judged, not the place of the first note.
  const pulse = options.tempo === undefined ? 'free' : 'click';
  const paces = pacesOf(passage, { askedTick, fromTick: 0, toTick: passage.endTick });
  const expectation: Expectation = { onsets, tempo, ...(paces ? { paces } : {}), pulse };
  const isPart = span.first > 1 || span.last < passage.onsets.length;
  const part = isPart
    ? partOfTake({ ...expectation, onsets: passage.onsets }, recorded, {
        first: span.first - 1,
        last: span.last - 1,
      })
    : undefined;
  const notes = part?.played ?? recorded;
  const { verdict, clean } = judgedNotes(expectation, notes, events, {
    tolerance,
    evenTouch: options.touch === 'even',
  });
  const names = noteNames(
    passage,
    onsets.map(({ notes: written }, i) => ({ notes: written, number: span.first + i })),
    lineOf(span).transposition,
  );
  const { expected } = names;
  const lateFingers = blipFingers(verdict.troubles[0], { span }, lineOf(span), tempo);
  const alone = clean ? undefined : handAlone(expectation, notes, verdict);
  const text = alone ? handAloneSentence(alone) : sentence({ verdict, lateFingers }, names);
  if (options.json) {
    const json = judgementJson({
      expectation,
      played: notes,
      verdict,
      sentence: text,
      firstNumber: span.first,
    });
    const outside = part ? { notesOutside: part.outside } : {};
    print(JSON.stringify({ ...json, ...outside }, null, 2));
    return;
  }
  print(`${clean ? '+' : 'x'} ${text}`);
  if (alone) return;
  const pace = Math.round(tempo.bpm * verdict.pace * 10) / 10;
  print(
    `  ${verdict.notes.filter((note) => note.verdict === 'right').length} of ${verdict.notes.length} notes right, played at ${pace} a minute`,
  );
  if (part)
    print(
      `  the take holds more than that: ${counted(part.outside, 'note')} outside onsets ${span.first} to ${span.last} left out`,
    );
  const name = (onset: number) => expected[onset]!.join('+');
  for (const interval of verdict.intervals.filter((one) => !one.clean)) {
    const ms = Math.round(interval.deviationMicros / 1000);
    if (interval.playedMicros < 0) {
      print(`  onset ${span.first + interval.from}: ${name(interval.from)} and ${name(interval.to)} swapped`);
      continue;
    }
    print(
      `  onset ${span.first + interval.from}, ${name(interval.from)} to ${name(interval.to)}: ${Math.abs(ms)} ms too ${ms < 0 ? 'short' : 'long'} (${Math.round(Math.abs(interval.share) * 100)} %)`,
    );
  }
  for (const line of timingReport(verdict, expectation, name)) print(`  ${line}`);
}

/** The span as one player's line, for the fingerings; a line of several parts is nobody's, and has none. */
function lineOf(span: Span): Line {
  const { passage } = span;
  const part = spanOnsets(span)[0]?.notes[0]?.part ?? 0;
  return {
    parts: passage.parts.map((_, index) => index),
    transposition: INSTRUMENTS[passage.parts[part]?.instrument ?? 'keyboard'].transposition,
    onsets: stepOnsets(passage, span),
  };
}
