// The practice record's entries: every take as it was asked and as it was played, so that a later judge can judge it
// again with no other file at hand. Plain data, versioned. What progress is told from stands in the heading, in plain
// fields; everything else is for judging again.

import type { ClickPlacement } from '../drills/click-placement.ts';
import type { DrillSettings } from '../drills/drill.ts';
import type { InstrumentName } from '../music/instrument.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import type { KeptPlaying } from '../take/fold.ts';
import type { ToleranceName } from '../take/tolerance.ts';
import type { KeptVerdict } from './kept-verdict.ts';
import type { LadderPlan } from './ladder-plan.ts';
import type { PlayedTogether } from './played-together.ts';

export const ENTRY_FORMAT = 2;

/** How a take ended. */
export type TakeEnd = 'stopped' | 'slipped' | 'paused' | 'skipped' | 'retaken' | 'quit' | 'lost';

/** Which music of a passage was worked, as it was asked for on the command line. */
export interface Selection {
  readonly part?: string;
  readonly voice?: string;
  readonly hand?: 'left' | 'right' | 'both';
  readonly melody?: true;
  /** How bars of unequal beats are felt, as it was typed. */
  readonly groups?: string;
  readonly instrument?: InstrumentName;
}

/** The fields by which takes are looked up and counted: short, and the same in every format. */
export interface EntryHeading {
  /** Groups the takes of one sitting. */
  readonly sitting: string;
  /** Order within the sitting, from 1. */
  readonly order: number;
  /** When it was concluded, ISO 8601 with milliseconds, in local time with its offset: 2026-11-25T21:07:03.000+01:00. */
  readonly date: string;
  readonly player: string;
  /** Who or what played: the name of the input. */
  readonly source: string;
  /** A bundled name or a file's path, as the player gave it. */
  readonly passage: string;
  /** Of the music as it was worked, whatever it is called. Absent in takes taken over from format 1. */
  readonly fingerprint?: string;
  readonly selection: Selection;
  /** Onset numbers of the span, inclusive. */
  readonly first: number;
  readonly last: number;
  readonly drill: string;
  /** Index from 0 among the session's steps, and name. */
  readonly step: number;
  readonly stepName: string;
  /** Onset numbers that the step covers, inclusive. Absent in takes taken over from format 1. */
  readonly stepFirst?: number;
  readonly stepLast?: number;
  readonly tempoBpm: number;
  readonly toleranceName: ToleranceName;
  readonly end: TakeEnd;
  readonly clean: boolean;
  /** It counted at the gate, as clean or as a miss. */
  readonly counted: boolean;
  /** It opened the gate: the step was done with it. */
  readonly onward: boolean;
  /** The tempo ladder that it was played on. */
  readonly ladder?: KeptLadder;
  /** Of a take that several played as a section. */
  readonly together?: PlayedTogether;
  /** Which judge said so: JUDGE_VERSION, 0 for one taken over from format 1. */
  readonly judge: number;
}

/** A take as progress is told from it: its heading, and what the judge found where there was something to judge. */
export interface EntrySummary extends EntryHeading {
  readonly verdict?: KeptVerdict;
}

export interface Entry extends EntrySummary {
  readonly format: typeof ENTRY_FORMAT;
  /** What the drill was told when it made the step. Absent in takes taken over from format 1. */
  readonly settings?: DrillSettings;
  /** Where its clicks were put, if not on every beat. */
  readonly click?: ClickPlacement;
  /** The gate after this take: clean takes in a row, of how many. Absent in takes taken over from format 1. */
  readonly gate?: { readonly cleanInARow: number; readonly passes: number };
  readonly sentence: string;
  /** What earlier judges had said, the first of them first. */
  readonly earlier?: readonly EarlierJudgement[];
  /**
   * All that the verdict is made of: the step as it was asked, the events as the instrument sent them, and what was
   * added to their pitches. Absent in takes taken over from format 1, which did not keep it: they are not judged again.
   */
  readonly playing?: KeptPlaying;
  /** A take of format 1: what it knew besides. Its pitches were already shifted, by what it did not keep. */
  readonly format1?: Format1;
}

interface Format1 {
  readonly zeroMicros: number;
  readonly lagMicros?: number;
  readonly events: readonly PlayerEvent[];
  /** In the words of format 1. */
  readonly verdict?: unknown;
}

/** What was played, in either format. */
export function eventsOf({ playing, format1 }: Pick<Entry, 'playing' | 'format1'>): readonly PlayerEvent[] {
  return playing?.events ?? format1?.events ?? [];
}

/** The part of a ladder from which its rung can be worked out again. */
interface KeptLadder extends Omit<LadderPlan, 'by'> {
  /** Absent in takes that were kept before there were rounds. */
  readonly by?: LadderPlan['by'];
  /** The step was the drill's last: on a ladder by rounds, passing it ends the round. */
  readonly lastStep?: boolean;
}

interface EarlierJudgement {
  readonly judge: number;
  readonly clean: boolean;
  readonly sentence: string;
}

/** The day of practice, local: 2026-11-25. */
export function dayOf({ date }: Pick<EntryHeading, 'date'>): string {
  return date.slice(0, 10);
}

/** Played from its entry to its stop: what shares of clean takes are told from. */
export function isComplete({ end }: Pick<EntryHeading, 'end'>): boolean {
  return end === 'stopped';
}

/** Whose takes are those of somebody who has given no name. */
export const UNNAMED_PLAYER = 'player';
