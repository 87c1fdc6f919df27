// A step: one thing to play. Plain data: a run, which all players share (how time is kept, where it stops), and a line
// for each of them (what is expected). Drills make steps; matching and the session take them without knowing which
// drill they came from.

import { lowestFirst, type Note } from '../music/onset.ts';
import type { Tempo } from '../music/tempo.ts';
import type { PaceChange } from '../music/timing.ts';

export interface StepOnset {
  /** From the passage's start in steps that keep the beat, from the step's start in free ones. */
  readonly tick: number;
  /** Notated length: the longest of its notes. */
  readonly durationTicks: number;
  /** Lowest first. */
  readonly notes: readonly Note[];
  /** Number (from 1) of the passage's onset that this one comes from; several may share one. */
  readonly number: number;
  /**
   * A leaned note (tenuto): the interval AFTER this onset is already stretched by `leanTicks`; there it may never be
   * short, and up to twice the asked stretch is fine.
   */
  readonly leanTicks?: number;
  /** In the music a rest follows it. */
  readonly restAfter?: true;
}

/** What a click marks. `group`: a group of beats inside a bar; `division`: inside a beat. */
export type ClickAccent = 'bar' | 'group' | 'beat' | 'division';

export interface ClickMark {
  /** Same origin as the step's onsets; lead-in clicks may be negative. */
  readonly tick: number;
  readonly accent: ClickAccent;
}

/** What of a step all players share. */
export interface Run {
  /** Short and in a teacher's words: "beats 3 to 4", "widening 2". */
  readonly name: string;
  readonly tempo: Tempo;
  /** How the music departs from it; see timing.ts. Absent: not at all. */
  readonly paces?: readonly PaceChange[];
  /** `click`: judged against the click's tempo; `free`: evenness against the take's own pace, no click in the run. */
  readonly pulse: 'click' | 'free';
  /** Where the run begins: the first onset, or the beat before it where the run begins with a rest or off the beat. */
  readonly startTick: number;
  /** The tick of the last onset of all lines together: where the run stops. */
  readonly stopTick: number;
  /** True when the last onset is a landing: held while the click goes on. */
  readonly landing: boolean;
  /** True when the next step starts from this landing, struck again, without a lead-in. */
  readonly joinsNext: boolean;
  /** Beats of counted clicks before the step (at least 2 clicks when the pulse is a click; 0 = enter when you like). */
  readonly leadInBeats: number;
  /** Beats the landing is held; for steps without a landing, beats of rest after the last note. */
  readonly holdBeats: number;
  /**
   * The end of the hold or rest, where a joined step strikes its first onset. A beat of the hold is the meter's where
   * the run stops, which need not be the tempo's.
   */
  readonly endTick: number;
  /** Every click of lead-in, run and hold, by tick. */
  readonly clicks: readonly ClickMark[];
  /**
   * Beat boundaries from startTick to stopTick and through the hold, its end included, same origin: where a run may
   * stop after a slip.
   */
  readonly beats: readonly number[];
}

/** What of a step one player plays. */
export interface Line {
  /** Which parts of the passage it is taken from: indexes, never empty. */
  readonly parts: readonly number[];
  /** Semitones from written to sounding pitch of its (first) part's instrument: -2 for an instrument in B flat. */
  readonly transposition: number;
  /** By tick. Empty for a player who rests through the whole run. */
  readonly onsets: readonly StepOnset[];
}

export interface Step {
  readonly run: Run;
  /** Never empty; drills make one line of all parts, which `dealtOut` divides. */
  readonly lines: readonly Line[];
}

/** The step's onsets as a whole: of its only line, or of all its lines merged; several players may play the same one. */
export function onsetsOfAll({ lines }: Step): readonly StepOnset[] {
  const [first, ...others] = new Map(lines.map((line) => [line.parts.join(), line])).values();
  return others.length === 0 ? first!.onsets : merged([first!, ...others]);
}

function merged(lines: readonly Line[]): StepOnset[] {
  const byTick = new Map<number, StepOnset>();
  for (const onset of lines.flatMap((line) => line.onsets)) {
    const other = byTick.get(onset.tick);
    byTick.set(onset.tick, other ? together(other, onset) : onset);
  }
  return [...byTick.values()].sort((a, b) => a.tick - b.tick);
}

function together(a: StepOnset, b: StepOnset): StepOnset {
  return {
    ...a,
    durationTicks: Math.max(a.durationTicks, b.durationTicks),
    notes: [...a.notes, ...b.notes].sort(lowestFirst),
  };
}
