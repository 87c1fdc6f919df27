// What an entry and a passage must look like to be taken for one, from a database or a file: nothing that was read is
// believed before it was checked here. Music, steps and terms may hold more than is known here: it is kept, so that
// what a newer part of Fettle adds to a step is never taken for damage. Loaded when something is read, not when a take is kept.

import * as v from 'valibot';
import type { Line, Run } from '../drills/step.ts';
import type { Passage } from '../music/passage.ts';
import { ENTRY_FORMAT, type Entry, type EntrySummary } from './entry.ts';
import { ATTENDANCES } from './played-together.ts';
import { quickLook } from './quick-look.ts';

/** One look instead of three: a record has millions of them. */
const wholeFrom = (least: number) =>
  v.custom<number>(
    (value) => Number.isSafeInteger(value) && (value as number) >= least,
    ({ received }) => `a whole number is needed, not ${received}`,
  );
const count = wholeFrom(0);
const number = wholeFrom(1);
const whole = wholeFrom(Number.MIN_SAFE_INTEGER);
const finite = v.pipe(v.number(), v.finite());
const pitch = v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(127));
/** Pitches of written music may leave what MIDI can send: an inversion, a shift. */
const writtenPitch = v.pipe(v.number(), v.integer(), v.minValue(-128), v.maxValue(255));
/** 0 is what simulated players sent in format 1. */
const channel = v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(16));
const sevenBits = pitch;
const bpm = v.pipe(v.number(), v.finite(), v.minValue(0.01), v.maxValue(100_000));
const text = v.string();
const toleranceName = v.picklist(['rough', 'steady', 'concert']);

const tempo = v.strictObject({ bpm, beatTicks: number });

const spelling = v.strictObject({
  letter: v.picklist(['A', 'B', 'C', 'D', 'E', 'F', 'G']),
  alter: whole,
  octave: whole,
});

const note = v.looseObject({
  pitch: writtenPitch,
  spelling,
  durationTicks: count,
  part: count,
  staff: whole,
  voice: whole,
  ornament: v.exactOptional(v.picklist(['grace', 'trill', 'mordent', 'turn'])),
  articulations: v.exactOptional(
    v.array(v.picklist(['staccato', 'tenuto', 'accent', 'marcato', 'fermata', 'breath'])),
  ),
  slurred: v.exactOptional(v.boolean()),
  graceIndex: v.exactOptional(count),
});

const notes = v.pipe(v.array(note), v.minLength(1));

const onset = v.looseObject({ tick: whole, notes });

const stepOnset = v.looseObject({
  tick: whole,
  durationTicks: count,
  notes,
  number,
  leanTicks: v.exactOptional(count),
  restAfter: v.exactOptional(v.literal(true)),
});

const passage = v.looseObject({
  name: text,
  title: text,
  composer: v.exactOptional(text),
  tempo,
  keys: v.array(
    v.strictObject({
      tick: whole,
      fifths: whole,
      mode: v.picklist(['major', 'minor', 'dorian', 'phrygian', 'lydian', 'mixolydian', 'locrian']),
    }),
  ),
  tempoChanges: v.array(v.strictObject({ tick: whole, tempo })),
  bars: v.array(
    v.strictObject({
      number: whole,
      startTick: whole,
      durationTicks: count,
      meter: v.strictObject({
        count: number,
        unit: number,
        groups: v.exactOptional(v.array(number)),
      }),
      pickup: v.boolean(),
    }),
  ),
  parts: v.array(v.strictObject({ name: text, instrument: text })),
  rehearsalMarks: v.array(v.strictObject({ tick: whole, text })),
  onsets: v.array(onset),
  endTick: count,
  clefs: v.exactOptional(
    v.array(v.strictObject({ part: count, staff: number, clef: v.picklist(['treble', 'bass']) })),
  ),
});

const run = v.looseObject({
  name: text,
  tempo,
  paces: v.exactOptional(v.array(v.strictObject({ fromTick: whole, ratio: finite }))),
  pulse: v.picklist(['click', 'free']),
  startTick: whole,
  stopTick: whole,
  landing: v.boolean(),
  joinsNext: v.boolean(),
  leadInBeats: v.pipe(finite, v.minValue(0)),
  holdBeats: v.pipe(finite, v.minValue(0)),
  endTick: whole,
  clicks: v.array(v.strictObject({ tick: whole, accent: v.picklist(['bar', 'group', 'beat', 'division']) })),
  beats: v.array(whole),
});

const line = v.looseObject({
  parts: v.array(count),
  transposition: whole,
  onsets: v.array(stepOnset),
});

const event = v.variant('type', [
  v.strictObject({
    type: v.literal('note-on'),
    at: whole,
    pitch,
    velocity: sevenBits,
    channel,
  }),
  v.strictObject({ type: v.literal('note-off'), at: whole, pitch, channel }),
  v.strictObject({ type: v.literal('controller'), at: whole, number: sevenBits, value: sevenBits, channel }),
  v.strictObject({
    type: v.literal('other'),
    at: whole,
    bytes: v.array(v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(255))),
  }),
  v.strictObject({ type: v.literal('lost'), at: whole, reason: text }),
  v.strictObject({ type: v.literal('found'), at: whole }),
  v.strictObject({ type: v.literal('ended'), at: whole }),
]);

const events = v.array(event);

const terms = v.looseObject({
  run,
  line,
  tolerance: v.strictObject({
    name: toleranceName,
    floorMicros: count,
    share: v.pipe(finite, v.minValue(0)),
  }),
  zeroMicros: whole,
  lagMicros: whole,
  shiftSemitones: whole,
  opensMicros: whole,
  joined: v.exactOptional(v.literal(true)),
  evenTouch: v.exactOptional(v.literal(true)),
  usual: v.exactOptional(
    v.looseObject({ lagMicros: v.exactOptional(finite), stretch: v.exactOptional(finite) }),
  ),
});

const playing = v.looseObject({
  terms,
  events,
  untilMicros: whole,
  stop: v.strictObject({ cutTick: v.exactOptional(whole), slipped: v.boolean() }),
});

const format1 = v.strictObject({
  zeroMicros: whole,
  lagMicros: v.exactOptional(whole),
  events,
  verdict: v.exactOptional(v.unknown()),
});

/** Whatever a drill of that day understood: a later one need not. */
const settings = v.looseObject({ tempo });

const ladder = v.strictObject({
  by: v.exactOptional(v.picklist(['round', 'step'])),
  lastStep: v.exactOptional(v.boolean()),
  startBpm: bpm,
  goalBpm: bpm,
  up: number,
  down: number,
  stepShare: finite,
  rungCount: v.exactOptional(number),
  jump: v.boolean(),
  alternate: v.boolean(),
});

const verdict = v.strictObject({
  clean: v.boolean(),
  worst: v.exactOptional(text),
  slips: v.array(
    v.strictObject({
      kind: v.picklist(['wrong', 'missed', 'extra', 'blip', 'restart', 'placed', 'chord']),
      onset: number,
      micros: v.exactOptional(whole),
    }),
  ),
  intervals: v.array(
    v.strictObject({
      from: number,
      to: number,
      expectedMicros: whole,
      deviationMicros: whole,
      clean: v.boolean(),
    }),
  ),
  pace: finite,
  placementSpreadMicros: v.exactOptional(whole),
  placementLagMicros: v.exactOptional(whole),
  arrivals: v.exactOptional(v.array(v.strictObject({ tick: whole, onset: number, micros: whole }))),
});

const together = v.strictObject({
  section: text,
  take: number,
  attendance: v.picklist(ATTENDANCES),
  needed: count,
  calibrated: v.exactOptional(v.literal(true)),
});

const judgement = { judge: count, clean: v.boolean(), sentence: text };

/** What progress is told from. */
const summary = {
  sitting: text,
  order: number,
  date: v.pipe(text, v.regex(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$/)),
  player: text,
  source: text,
  passage: text,
  fingerprint: v.exactOptional(v.pipe(text, v.hexadecimal(), v.length(32))),
  selection: v.strictObject({
    part: v.exactOptional(text),
    voice: v.exactOptional(text),
    hand: v.exactOptional(v.picklist(['left', 'right', 'both'])),
    melody: v.exactOptional(v.literal(true)),
    groups: v.exactOptional(text),
    instrument: v.exactOptional(text),
  }),
  first: number,
  last: number,
  drill: text,
  step: count,
  stepName: text,
  stepFirst: v.exactOptional(number),
  stepLast: v.exactOptional(number),
  tempoBpm: bpm,
  toleranceName,
  end: v.picklist(['stopped', 'slipped', 'paused', 'skipped', 'retaken', 'quit', 'lost']),
  clean: v.boolean(),
  counted: v.boolean(),
  onward: v.boolean(),
  ladder: v.exactOptional(ladder),
  together: v.exactOptional(together),
  judge: count,
  verdict: v.exactOptional(verdict),
};

const entry = v.strictObject({
  format: v.literal(ENTRY_FORMAT),
  ...summary,
  sentence: text,
  settings: v.exactOptional(settings),
  click: v.exactOptional(text),
  gate: v.exactOptional(v.strictObject({ cleanInARow: count, passes: number })),
  earlier: v.exactOptional(v.array(v.strictObject(judgement))),
  playing: v.exactOptional(playing),
  format1: v.exactOptional(format1),
});

/** Whatever else a whole entry has is not looked at. */
const entrySummary = v.looseObject({ format: v.literal(ENTRY_FORMAT), ...summary });
const step = v.strictObject({ run, line });

const isEntry = quickLook(entry);
const isSummary = quickLook(entrySummary);
const isStep = quickLook(step);

/** What was read, or where it is not what it should be: "asked.run.beats: ...". */
export type Checked<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly why: string };

export function checkEntry(value: unknown): Checked<Entry> {
  return isEntry(value) ? { ok: true, value: value as Entry } : checked<Entry>(entry, value);
}

/** The heading and the verdict alone. */
export function checkSummary(value: unknown): Checked<EntrySummary> {
  return isSummary(value) ? { ok: true, value: value as EntrySummary } : checked(entrySummary, value);
}

export function checkPassage(value: unknown): Checked<Passage> {
  return checked<Passage>(passage, value);
}

export function checkStep(value: unknown): Checked<{ readonly run: Run; readonly line: Line }> {
  // As it came, like a take's own step: what was exported is exported again byte for byte.
  return isStep(value) ? { ok: true, value: value as { run: Run; line: Line } } : checked(step, value);
}

function checked<T>(schema: v.GenericSchema, value: unknown): Checked<T> {
  const result = v.safeParse(schema, value, { abortEarly: true });
  if (result.success) return { ok: true, value: result.output as T };
  const [issue] = result.issues;
  return { ok: false, why: `${v.getDotPath(issue) ?? 'the whole'}: ${issue.message}` };
}
