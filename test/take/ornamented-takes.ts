// Lines of our own with one or two ornaments, played as people play them and rightly: graces of any pitch before the note
// or on it, trills from the note or from above, with or without an ending, mordents down and up, turns from the note, from
// above and after the note; within a line, on landings and on last notes, one right after another. 8 to 14 notes a second
// (Moore 1992, Music Percept 9:351, from memory).

import { need } from '../../src/commands/usage-problem.ts';
import { findDrill } from '../../src/drills/catalogue.ts';
import type { Step, StepOnset } from '../../src/drills/step.ts';
import type { Note } from '../../src/music/onset.ts';
import type { Passage } from '../../src/music/passage.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { ticksToMicros } from '../../src/music/tempo.ts';
import { readAbc } from '../../src/notation/abc/reader.ts';
import type { Random } from '../../src/simulation/random.ts';
import { foldTake, playAlone } from '../../src/take/fold.ts';
import { planTake } from '../../src/take/plan-take.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';

/** How an ornament is played, by what is written. */
const STYLES = {
  grace: ['before', 'on the beat'],
  'same grace': ['before'],
  trill: ['from the note', 'from above'],
  mordent: ['down', 'up'],
  turn: ['from the note', 'from above', 'after the note'],
} as const;

type Written = keyof typeof STYLES;

/** What is written on one onset, and on the one after it. */
export const PAIRS: readonly (readonly [Written, Written | undefined])[] = [
  ['grace', undefined],
  ['same grace', undefined],
  ['trill', undefined],
  ['mordent', undefined],
  ['turn', undefined],
  ['trill', 'trill'],
  ['turn', 'trill'],
  ['trill', 'turn'],
  ['mordent', 'trill'],
];

export interface OrnamentedTake {
  /** "turn from above, trill from the note; inner". */
  readonly what: string;
  readonly abc: string;
  readonly clean: boolean;
  readonly said: string;
  readonly played: string;
}

const LETTERS = ['C', 'D', 'E', 'F', 'G', 'A', 'B', 'c', 'd', 'e', 'f', 'g', 'a'];
const SCALE = [60, 62, 64, 65, 67, 69, 71, 72, 74, 76, 77, 79, 81];

export async function ornamentedTake(
  [first, second]: (typeof PAIRS)[number],
  place: 'inner' | 'end',
  random: Random,
  fault: OrnamentFault | 'none' = 'none',
): Promise<OrnamentedTake> {
  const count = random.integer(4, 8);
  const bpm = random.integer(46, 84);
  const at = place === 'end' ? count - 1 : random.integer(1, count - (second ? 3 : 2));
  const ornamented = new Map<number, Written>([[at, first]]);
  if (second && place === 'inner') ornamented.set(at + 1, second);
  if (second && place === 'end') ornamented.set(at - 1, first).set(at, second);
  const degrees: number[] = [random.integer(2, 8)];
  for (let i = 1; i < count; i++) {
    const step = random.pick([-2, -1, 1, 2, ...(second && i > at - 1 ? [0] : [])]);
    degrees.push(Math.min(10, Math.max(2, degrees[i - 1]! + step)));
  }
  const abc = `X:1\nT:Ours\nM:4/4\nL:1/4\nQ:1/4=${bpm}\nK:C\n${degrees
    .map((degree, i) => `${mark(ornamented.get(i), degree, random)}${LETTERS[degree]}`)
    .map((note, i) => (i % 4 === 3 ? `${note} |` : note))
    .join(' ')}|]\n`;
  const { passage } = await readAbc(abc, 'ours');
  const styles = [...ornamented].map(([i, written]) => [i, random.pick(STYLES[written])] as const);
  const step = stepAround(passage!, place, at, random);
  const events = played(step, passage!, { styles: new Map(styles), fault, at }, random);
  const { clean, verdict } = foldTake(playAlone(termsOf(step), events)!);
  const names = styles.map(([i, style]) => `${ornamented.get(i)} ${style}`).join(', ');
  return {
    what: `${names}; ${place}`,
    abc,
    clean,
    said: JSON.stringify(verdict.troubles[0] ?? null),
    played: events
      .flatMap((event) =>
        event.type === 'note-on' ? [`${event.pitch}@${Math.round(event.at / 1000) - 10_000}`] : [],
      )
      .join(' '),
  };
}

function mark(written: Written | undefined, degree: number, random: Random): string {
  if (written === undefined) return '';
  if (written === 'same grace') return `{${LETTERS[degree]}}`;
  if (written === 'grace') {
    const many = random.integer(1, 3);
    return `{${Array.from({ length: many }, (_, i) => LETTERS[degree - (random.chance(0.5) ? i + 1 : -i - 1)] ?? 'c').join('')}}`;
  }
  return `!${written}!`;
}

/** A step that ends on the ornament (a landing, or the last note of a step without one), or holds it within. */
function stepAround(passage: Passage, place: 'inner' | 'end', at: number, random: Random): Step {
  const name =
    place === 'end' ? random.pick(['chain', 'through', 'landings']) : random.pick(['through', 'chain']);
  const drill = need(findDrill(name));
  const made = need(
    drill.makeSteps({ passage, first: 1, last: passage.onsets.length }, { tempo: passage.tempo, every: 2 }),
  );
  const holding = made.filter(({ lines: [line] }) =>
    place === 'end'
      ? line!.onsets.at(-1)!.number === at + 1
      : line!.onsets.slice(1, -1).some(({ number }) => number === at + 1),
  );
  return random.pick(holding.length > 0 ? holding : made.slice(-1));
}

function termsOf(step: Step) {
  return planTake(
    step,
    { kind: 'lead-in', fromMicros: 10_000_000 },
    {
      attempt: 1,
      tolerance: TOLERANCES.steady,
      players: [{ lagMicros: 0, shiftSemitones: 0 }],
    },
  ).lines[0]!.terms;
}

/** At the ornamented onset: it is left out, comes late, or has a note in it that belongs to no ornament. */
export type OrnamentFault = 'missed' | 'late' | 'added';

interface Playing {
  /** By onset index of the passage. */
  readonly styles: ReadonlyMap<number, string>;
  readonly fault: OrnamentFault | 'none';
  readonly at: number;
}

function played(
  step: Step,
  passage: Passage,
  { styles, fault, at: faulty }: Playing,
  random: Random,
): PlayerEvent[] {
  const { run, line, zeroMicros } = termsOf(step);
  const micros = (ticks: number) => ticksToMicros(ticks, run.tempo);
  const strokes: { pitch: number; at: number }[] = [];
  for (const [i, onset] of line.onsets.entries()) {
    const isFaulty = onset.number - 1 === faulty;
    if (isFaulty && fault === 'missed') continue;
    const late = isFaulty && fault === 'late' ? 0.4 * micros(passage.tempo.beatTicks) : 0;
    const on = zeroMicros + micros(onset.tick) + late + random.normal(0, 5_000);
    const next = line.onsets[i + 1];
    const room = next
      ? micros(next.tick - onset.tick)
      : micros(Math.max(run.endTick - run.stopTick, passage.tempo.beatTicks));
    strokes.push(...strokesOf(onset, on, room, styles.get(onset.number - 1), random));
    if (isFaulty && fault === 'added')
      strokes.push({ pitch: onset.notes[0]!.pitch + random.pick([5, 6, 7]), at: on + 0.45 * room });
  }
  strokes.sort((a, b) => a.at - b.at);
  const last = strokes.length - 1;
  const hold = 0.7 * micros(Math.max(run.endTick - run.stopTick, 1));
  const events: PlayerEvent[] = [];
  for (const [i, { pitch, at }] of strokes.entries()) {
    const off = i === last ? at + Math.max(150_000, hold) : Math.max(at + 20_000, strokes[i + 1]!.at - 5_000);
    events.push({ type: 'note-on', at: Math.round(at), pitch, velocity: 80, channel: 1 });
    events.push({ type: 'note-off', at: Math.round(off), pitch, channel: 1 });
  }
  return events.sort((a, b) => a.at - b.at || (a.type === 'note-off' ? -1 : 1));
}

function strokesOf(
  onset: StepOnset,
  on: number,
  room: number,
  style: string | undefined,
  random: Random,
): { pitch: number; at: number }[] {
  const main = onset.notes.find((note) => note.ornament !== 'grace')!;
  const graces = onset.notes
    .filter((note) => note.ornament === 'grace')
    .sort((a, b) => (a.graceIndex ?? 0) - (b.graceIndex ?? 0));
  const each = random.between(70_000, 120_000);
  if (style === undefined) return [{ pitch: main.pitch, at: on }];
  if (graces.length > 0) {
    const short = random.between(45_000, 100_000);
    const begin = style === 'before' ? on - graces.length * short : on;
    const length = style === 'before' ? short : 45_000;
    const before = graces.map(({ pitch }, i) => ({ pitch, at: begin + i * length }));
    return [...before, { pitch: main.pitch, at: style === 'before' ? on : on + graces.length * length }];
  }
  const [upper, lower] = [neighbour(main, 1), neighbour(main, -1)];
  return pitchesOf(main, {
    upper,
    lower,
    style,
    many: Math.floor((random.between(0.5, 0.9) * room) / each),
    random,
  }).map((pitch, i) => ({
    pitch,
    at:
      style === 'after the note' && i > 0
        ? on + 0.4 * room + (i - 1) * Math.min(each, 0.13 * room)
        : on + i * each,
  }));
}

function pitchesOf(
  { pitch, ornament }: Note,
  {
    upper,
    lower,
    style,
    many,
    random,
  }: { upper: number; lower: number; style: string; many: number; random: Random },
): number[] {
  switch (ornament) {
    case 'mordent':
      return [pitch, style === 'down' ? lower : upper, pitch];
    case 'turn':
      return style === 'from above' ? [upper, pitch, lower, pitch] : [pitch, upper, pitch, lower, pitch];
    case 'trill': {
      const shakes = Math.max(1, Math.floor((many - 3) / 2));
      const ending = random.chance(0.4) ? [lower, pitch] : [];
      const shake = Array.from({ length: shakes }, () => [upper, pitch]).flat();
      return [...(style === 'from above' ? [] : [pitch]), ...shake, ...ending];
    }
    default:
      return [pitch];
  }
}

function neighbour({ pitch }: Note, by: 1 | -1): number {
  return SCALE[SCALE.indexOf(pitch) + by] ?? pitch + 2 * by;
}

/** Of so many takes for each pair and place, by what was played: those that were not clean. */
export async function ornamentRates(
  takes: number,
  random: (seed: number) => Random,
): Promise<{ readonly what: string; readonly takes: number; readonly refused: readonly OrnamentedTake[] }[]> {
  const rates = new Map<string, { takes: number; refused: OrnamentedTake[] }>();
  let seed = 0;
  for (const pair of PAIRS) {
    for (const place of ['inner', 'end'] as const) {
      for (let i = 0; i < takes; i++) {
        const take = await ornamentedTake(pair, place, random(seed++));
        const rate = rates.get(take.what) ?? { takes: 0, refused: [] };
        rates.set(take.what, rate);
        rate.takes++;
        if (!take.clean) rate.refused.push(take);
      }
    }
  }
  return [...rates].map(([what, rate]) => ({ what, ...rate }));
}
