// Whole steps of every drill, played exactly, with one fault planted or with nothing but what is allowed: what is said of
// them says whether "clean" can be trusted.

import { DRILLS } from '../../src/drills/catalogue.ts';
import type { Step, StepOnset } from '../../src/drills/step.ts';
import { requiredNotes } from '../../src/music/onset.ts';
import type { Passage } from '../../src/music/passage.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { ticksToMicros } from '../../src/music/tempo.ts';
import type { Random } from '../../src/simulation/random.ts';
import { foldTake, playAlone } from '../../src/take/fold.ts';
import { planTake } from '../../src/take/plan-take.ts';
import type { TakeTerms } from '../../src/take/terms.ts';
import { TOLERANCES, type ToleranceName, toleranceMicros } from '../../src/take/tolerance.ts';

export const FAULTS = [
  'wrong',
  'missed',
  'added',
  'ran-on',
  'interval',
  'clipped',
  'short',
  'early',
] as const;
export type Fault = (typeof FAULTS)[number];

export interface FaultyTake {
  readonly drill: string;
  readonly passage: string;
  readonly step: string;
  readonly onsets: number;
  readonly fault: Fault | 'none';
  readonly clean: boolean;
  readonly said: string;
}

const USUAL_LAG_MICROS = 12_000;

/** Undefined where the step has no place for such a fault. */
export function faultyTake(
  steps: readonly { readonly drill: string; readonly passage: string; readonly step: Step }[],
  fault: Fault | 'none',
  random: Random,
): FaultyTake | undefined {
  const { drill, passage, step } = random.pick(steps);
  const toleranceName = random.pick<ToleranceName>(['rough', 'steady', 'concert']);
  const tolerance = TOLERANCES[toleranceName];
  const joined = random.chance(0.3);
  const [line] = planTake(
    step,
    joined ? { kind: 'join', atMicros: 10_000_000 } : { kind: 'lead-in', fromMicros: 10_000_000 },
    {
      attempt: 1,
      tolerance,
      players: [
        {
          lagMicros: 0,
          shiftSemitones: 0,
          usual: { lagMicros: USUAL_LAG_MICROS, stretch: 1 },
        },
      ],
    },
  ).lines;
  const { terms } = line!;
  const { onsets } = terms.line;
  const at = placesOf(terms);
  const gap = Math.min(...at.slice(1).map((micros, i) => micros - at[i]!));
  const allowed = toleranceMicros(tolerance, Math.round(gap));
  let shift = onsets.map(() => 0);
  let left = onsets.length;
  const [notes, extra] = [
    onsets.map((onset) => requiredNotes(onset).map((note) => note.pitch)),
    [] as [number, number][],
  ];
  const inner = random.integer(1, Math.max(1, onsets.length - 1));
  switch (fault) {
    case 'none':
      shift = shift.map(() => random.between(-0.25, 0.25) * allowed);
      break;
    case 'wrong': {
      const chord = notes[random.integer(0, onsets.length - 1)]!;
      const i = random.integer(0, chord.length - 1);
      const wrong = chord[i]! + random.pick([-2, -1, 1, 2, 4, -5]);
      if (chord.includes(wrong)) return undefined;
      chord[i] = wrong;
      break;
    }
    case 'missed': {
      const chord = notes[random.integer(0, onsets.length - 1)]!;
      chord.splice(random.integer(0, chord.length - 1), 1);
      break;
    }
    case 'added': {
      const before = at[inner - 1]! + (at[inner]! - at[inner - 1]!) * random.between(0.3, 0.7);
      extra.push([before, random.integer(60, 80)]);
      break;
    }
    case 'ran-on': {
      const rest = ticksToMicros(terms.run.endTick - terms.run.stopTick, terms.run.tempo);
      const beat = ticksToMicros(terms.run.tempo.beatTicks, terms.run.tempo);
      const most = terms.run.pulse === 'free' ? 1.4 * gap : Math.min(rest - 0.55 * beat, 3.4 * beat);
      extra.push([at.at(-1)! + random.between(Math.min(150_000, most / 2), most), random.integer(60, 80)]);
      break;
    }
    case 'interval': {
      const lean = onsets[inner - 1]!.leanTicks ?? 0;
      const here = toleranceMicros(tolerance, at[inner]! - at[inner - 1]!);
      const by = random.between(1.1, 4) * here * (lean > 0 || random.chance(0.5) ? -1 : 1);
      if (Math.abs(by) > 0.6 * gap || onsets.length < 3) return undefined;
      shift = shift.map((_, i) => (i >= inner ? by : 0));
      break;
    }
    case 'clipped':
      if (!terms.run.landing || toleranceName === 'rough' || onsets.at(-1)!.restAfter) return undefined;
      if (onsets.at(-1)!.notes.some((note) => note.articulations?.includes('staccato'))) return undefined;
      break;
    case 'short':
      if (onsets.length < 3) return undefined;
      left = random.integer(1, onsets.length - 1);
      break;
    case 'early': {
      if (terms.run.pulse === 'free') return undefined;
      const by = random.between(0.12, 0.2) * 1e6 * (random.chance(0.5) ? -1 : 1);
      shift = shift.map(() => by);
      break;
    }
  }
  const lag = terms.run.pulse === 'free' ? 0 : USUAL_LAG_MICROS;
  const events: PlayerEvent[] = [];
  const strike = (on: number, pitch: number, off: number) => {
    events.push({ type: 'note-on', at: Math.round(on + lag), pitch, velocity: 80, channel: 0 });
    events.push({ type: 'note-off', at: Math.round(off + lag), pitch, channel: 0 });
  };
  const hold = ticksToMicros(terms.run.endTick - terms.run.stopTick, terms.run.tempo);
  for (const [i, pitches] of notes.slice(0, left).entries()) {
    const on = at[i]! + shift[i]!;
    const last = i === onsets.length - 1;
    const off = last ? on + (fault === 'clipped' ? 50_000 : 0.8 * hold) : on + 0.85 * (at[i + 1]! - at[i]!);
    for (const pitch of pitches) strike(on, pitch, off);
  }
  for (const [on, pitch] of extra) strike(on, pitch, on + 60_000);
  if (extra.some(([on, pitch]) => isOrnament(onsets, at, on, pitch))) return undefined;
  events.sort((a, b) => a.at - b.at || (a.type === 'note-off' ? -1 : 1));
  const kept = playAlone(terms, events);
  if (!kept) return undefined;
  const { clean, verdict } = foldTake(kept);
  return {
    drill,
    passage,
    step: step.run.name,
    onsets: onsets.length,
    fault,
    clean,
    said: `${toleranceName} ${JSON.stringify(verdict.troubles[0] ?? null)}`,
  };
}

/** An added note of a written trill is none. */
function isOrnament(onsets: readonly StepOnset[], at: readonly number[], on: number, pitch: number): boolean {
  return onsets.some(({ notes }, i) =>
    notes.some(
      (note) =>
        note.ornament !== undefined && Math.abs(note.pitch - pitch) <= 2 && Math.abs(at[i]! - on) < 3e6,
    ),
  );
}

function placesOf({ line, run, zeroMicros }: TakeTerms): number[] {
  return line.onsets.map(({ tick }) => zeroMicros + ticksToMicros(tick, run.tempo));
}

/** The steps of every drill over spans of these passages. */
export function stepsOf(
  passages: readonly Passage[],
  random: Random,
  count: number,
): { readonly drill: string; readonly passage: string; readonly step: Step }[] {
  const steps: { drill: string; passage: string; step: Step }[] = [];
  while (steps.length < count) {
    const passage = random.pick(passages);
    const first = random.integer(1, Math.max(1, passage.onsets.length - 12));
    const last = Math.min(passage.onsets.length, first + random.integer(4, 16));
    const drill = random.pick(DRILLS);
    const made = drill.makeSteps(
      { passage, first, last },
      {
        tempo: { ...passage.tempo, bpm: Math.round(passage.tempo.bpm * random.between(0.5, 0.9)) },
        snags: [random.integer(first, last - 1)],
        every: random.pick([0.5, 1, 2, 4, 'bar', 'growing'] as const),
      },
    );
    if (!made.ok) continue;
    const step = random.pick(made.value);
    if (step.lines.length !== 1 || step.lines[0]!.onsets.length < 2) continue;
    steps.push({ drill: drill.name, passage: passage.name, step });
  }
  return steps;
}
