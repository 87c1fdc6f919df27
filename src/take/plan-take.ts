// How a take is planned: where a step lies in time, and on what terms each player's line is judged.

import { onsetsOfAll, type Step } from '../drills/step.ts';
import { microsAt, microsBetween } from '../music/timing.ts';
import { startLine, type Take } from './take.ts';
import type { UsualPlaying } from './terms.ts';
import type { Tolerance } from './tolerance.ts';

/** How a take is entered: after its own lead-in, which begins at `fromMicros`, or straight from the landing. */
export type Entrance =
  | { readonly kind: 'lead-in'; readonly fromMicros: number }
  | { readonly kind: 'join'; readonly atMicros: number };

/** What of a player decides how their line is judged. */
export interface LineSettings {
  /** Known constant lag of the set-up against the click, positive = late; 0 where none is known. */
  readonly lagMicros: number;
  /** See TakeTerms. */
  readonly shiftSemitones: number;
  readonly usual?: UsualPlaying;
  /** Where it is not that of the others. */
  readonly tolerance?: Tolerance;
}

/** `players` has an entry for each of the step's lines. */
export function planTake(
  { run, lines }: Step,
  entry: Entrance,
  options: {
    readonly attempt: number;
    readonly tolerance: Tolerance;
    readonly evenTouch?: boolean;
    readonly players: readonly LineSettings[];
    readonly unstopped?: boolean;
    readonly spared?: readonly number[];
    readonly slipsAllowed?: number;
    /** From when on there is somebody to listen to: a run that nothing counts in may begin at once. */
    readonly listensMicros?: number;
  },
): Take {
  const micros = (tick: number) => microsAt(run, tick);
  const firstClick = Math.min(run.startTick, run.clicks[0]?.tick ?? run.startTick);
  const zeroMicros =
    entry.kind === 'join' ? entry.atMicros - micros(run.startTick) : entry.fromMicros - micros(firstClick);
  const firstOnset = zeroMicros + micros(onsetsOfAll({ run, lines })[0]!.tick);
  const atAnyTime = run.pulse === 'free' && run.leadInBeats === 0 ? options.listensMicros : undefined;
  return {
    run,
    attempt: options.attempt,
    unstopped: options.unstopped ?? false,
    spared: options.spared ?? [],
    slipsAllowed: options.slipsAllowed ?? 0,
    zeroMicros,
    beginMicros: entry.kind === 'join' ? entry.atMicros : entry.fromMicros,
    lines: options.players.map((player, i) => {
      const lagMicros = run.pulse === 'click' ? player.lagMicros : 0;
      return startLine({
        run,
        line: lines[i]!,
        tolerance: player.tolerance ?? options.tolerance,
        zeroMicros,
        lagMicros,
        shiftSemitones: player.shiftSemitones,
        ...(entry.kind === 'join' ? { joined: true as const } : {}),
        ...(options.evenTouch ? { evenTouch: true as const } : {}),
        ...(player.usual ? { usual: player.usual } : {}),
        // Half a beat: sooner than that is not an entry but a note too many. Who enters when they like need not wait.
        opensMicros:
          atAnyTime ??
          Math.round(
            firstOnset +
              lagMicros -
              microsBetween(run, run.startTick, run.startTick + run.tempo.beatTicks) / 2,
          ),
      });
    }),
  };
}
