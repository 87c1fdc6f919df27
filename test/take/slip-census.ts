// Wrong, missed and added notes planted in runs with a click, the player going on or stopping a few notes later: how often
// they are told as what they were.

import { need } from '../../src/commands/usage-problem.ts';
import { findDrill } from '../../src/drills/catalogue.ts';
import type { Step, StepOnset } from '../../src/drills/step.ts';
import type { Passage } from '../../src/music/passage.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { microsAt } from '../../src/music/timing.ts';
import { readAbc } from '../../src/notation/abc/reader.ts';
import { Random } from '../../src/simulation/random.ts';
import { foldTake, playAlone } from '../../src/take/fold.ts';
import { planTake } from '../../src/take/plan-take.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import type { Trouble } from '../../src/take/verdict.ts';
import { bundledPassage } from '../notation/bundled.ts';

const SLIPS = ['wrong', 'missed', 'added'] as const;
type Slip = (typeof SLIPS)[number];

export interface SlipCensus {
  readonly slip: Slip;
  readonly takes: number;
  /** Those told as something else, one line each. */
  readonly wrong: readonly string[];
}

/** Repeated notes, where pitch tells nothing, in fours and on one pitch. */
const REPEATED = `X:1
T:Tongue of Land
M:4/4
L:1/16
Q:1/4=72
K:C
cccc eeee gggg cccc | d2dd d2d2 dddd d4 | aaaa ffff dddd cccc | c4 z4 c8 |]
`;
const DRILLS = ['through', 'landings', 'widening', 'chain'] as const;
const FINGERS_MICROS = 8_000;

export async function slipCensus(takes: number, seed: number): Promise<SlipCensus[]> {
  const files = ['slipway.abc', 'mudlarks.abc', 'lanterns.abc', 'ropewalk.abc'];
  const bundled = await Promise.all(files.map((file) => bundledPassage(file)));
  const { passage } = await readAbc(REPEATED, 'repeated');
  const steps = [...bundled, passage!, passage!].flatMap((one) => stepsOf(one, new Random(seed, 0)));
  return SLIPS.map((slip, s) => {
    const wrong: string[] = [];
    let made = 0;
    for (let i = 0; made < takes; i++) {
      const random = new Random(seed + i, s + 1);
      const step = random.pick(steps);
      const told = slipped(step, slip, random);
      if (told === undefined) continue;
      made++;
      if (!told.right) wrong.push(`${slip} ${i}: "${step.run.name}", ${told.said}`);
    }
    return { slip, takes: made, wrong };
  });
}

function stepsOf(passage: Passage, random: Random): Step[] {
  const span = { passage, first: 1, last: passage.onsets.length };
  return DRILLS.flatMap((name) =>
    need(
      need(findDrill(name)).makeSteps(span, {
        tempo: passage.tempo,
        every: 2,
        snags: [random.integer(1, span.last - 1)],
      }),
    ).filter(({ lines: [line] }) => line!.onsets.length >= 4),
  );
}

/** Undefined where there is no place for it: an ornament is near, or the slip would be the note that is written there. */
function slipped(step: Step, slip: Slip, random: Random) {
  const { terms } = planTake(
    step,
    { kind: 'lead-in', fromMicros: 10_000_000 },
    { attempt: 1, tolerance: TOLERANCES.steady, players: [{ lagMicros: 0, shiftSemitones: 0 }] },
  ).lines[0]!;
  const { onsets } = terms.line;
  const place = random.integer(1, onsets.length - 2);
  const near = onsets.slice(place - 1, place + 2);
  if (near.some(({ notes }) => notes.length > 1 || notes[0]!.ornament !== undefined)) return undefined;
  const strays = random.between(-FINGERS_MICROS, FINGERS_MICROS);
  const at = onsets.map(
    ({ tick }) =>
      terms.zeroMicros + microsAt(terms.run, tick) + strays + random.between(-1, 1) * FINGERS_MICROS,
  );
  const by = random.pick([-3, -2, -1, 1, 2, 3, 5]);
  const pitch = pitchOf(onsets[place]!) + by;
  const left = random.chance(0.3) ? onsets.length : Math.min(onsets.length, place + random.integer(2, 4));
  const notes = onsets.slice(0, left).flatMap((onset, i) => {
    if (i !== place) return [{ pitch: pitchOf(onset), on: at[i]! }];
    if (slip === 'missed') return [];
    return [{ pitch: slip === 'wrong' ? pitch : pitchOf(onset), on: at[i]! }];
  });
  if (slip === 'wrong' && near.some((onset) => pitchOf(onset) === pitch)) return undefined;
  if (slip === 'added') {
    const share = random.between(0.35, 0.6);
    notes.push({ pitch, on: at[place]! + share * (at[place + 1]! - at[place]!) });
  }
  const kept = playAlone(terms, events(notes));
  if (!kept) return undefined;
  const { troubles } = foldTake(kept).verdict;
  return { right: isTold(troubles[0], slip, place), said: JSON.stringify(troubles[0] ?? null) };
}

function pitchOf({ notes }: StepOnset): number {
  return notes[0]!.pitch;
}

function events(notes: readonly { readonly pitch: number; readonly on: number }[]): PlayerEvent[] {
  return notes
    .toSorted((a, b) => a.on - b.on)
    .flatMap(({ pitch, on }): PlayerEvent[] => [
      { type: 'note-on', at: Math.round(on), pitch, velocity: 80, channel: 0 },
      { type: 'note-off', at: Math.round(on + 60_000), pitch, channel: 0 },
    ])
    .sort((a, b) => a.at - b.at);
}

/** Which of equal notes was left out, and where nothing came after it that it was no stop, nobody can tell. */
function isTold(trouble: Trouble | undefined, slip: Slip, place: number): boolean {
  switch (trouble?.kind) {
    case 'wrong':
      return slip === 'wrong' && trouble.onset === place;
    case 'missed':
      return slip === 'missed' && trouble.onset === place;
    case 'stopped-short':
      return slip === 'missed' && trouble.onset === place - 1;
    case 'extra':
    case 'blip':
      return slip === 'added' && trouble.before === place + 1;
    default:
      return false;
  }
}
