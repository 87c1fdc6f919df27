// Marks that hold until the next of their kind: keys and tempos, carried along the playing order.

import { beatTicks } from '../../music/meter.ts';
import type { KeyChange, RehearsalMark, TempoChange } from '../../music/passage.ts';
import type { Tempo } from '../../music/tempo.ts';
import type { IssueList } from '../reading.ts';
import type { PrintedBar } from './bar-lengths.ts';
import type { DraftBar } from './score.ts';
import type { PlayedBar } from './tie-joining.ts';

/** Beats a minute where the music gives no tempo. */
const DEFAULT_TEMPO_BPM = 72;

/** Key signatures by tick; the first is at tick 0 (C major where none is written). */
export function keyChanges(printed: readonly PrintedBar[], played: readonly PlayedBar[]): KeyChange[] {
  const changes = changesInForce(printed, played, (draft) => draft.keys).map(({ tick, mark }) => ({
    tick,
    fifths: mark.fifths,
    mode: mark.mode,
  }));
  const keys = withoutRepetition(changes, (a, b) => a.fifths === b.fifths && a.mode === b.mode);
  return keys[0]?.tick === 0 ? keys : [{ tick: 0, fifths: 0, mode: 'major' }, ...keys];
}

/** The goal tempo, which is the first that is written and holds from the start, and the changes after it. */
export function tempos(
  printed: readonly PrintedBar[],
  played: readonly PlayedBar[],
  issues: IssueList,
): { tempo: Tempo; tempoChanges: TempoChange[] } {
  const all = changesInForce(printed, played, (draft) => draft.tempos).map(({ tick, mark }) => ({
    tick,
    tempo: mark.tempo,
  }));
  const changes = withoutRepetition(
    all,
    (a, b) => a.tempo.bpm === b.tempo.bpm && a.tempo.beatTicks === b.tempo.beatTicks,
  );
  const first = changes[0];
  if (first) return { tempo: first.tempo, tempoChanges: changes.slice(1) };
  issues.warn('tempo.default', `No tempo is written: taken as ${DEFAULT_TEMPO_BPM} beats a minute`);
  return { tempo: { bpm: DEFAULT_TEMPO_BPM, beatTicks: beatTicks(played[0]!.bar.meter) }, tempoChanges: [] };
}

export function rehearsalMarks(played: readonly PlayedBar[]): RehearsalMark[] {
  return played.flatMap(({ source, bar }) =>
    source.draft.marks.map(({ offset, text }) => ({ tick: bar.startTick + offset, text })),
  );
}

/** After a jump (a repeat, an ending, a coda) what holds is what was printed last before the bar jumped to. */
function changesInForce<M extends { readonly offset: number }>(
  printed: readonly PrintedBar[],
  played: readonly PlayedBar[],
  pick: (draft: DraftBar) => readonly M[],
): { tick: number; mark: M }[] {
  const inForce: (M | undefined)[] = [];
  let last: M | undefined;
  for (const { draft } of printed) {
    inForce.push(last);
    last = pick(draft).at(-1) ?? last;
  }
  const changes: { tick: number; mark: M }[] = [];
  let expected = 0;
  for (const { source, bar, index } of played) {
    const held = index === expected ? undefined : inForce[index];
    if (held) changes.push({ tick: bar.startTick, mark: held });
    for (const mark of pick(source.draft)) changes.push({ tick: bar.startTick + mark.offset, mark });
    expected = index + 1;
  }
  return changes;
}

/** Of several at one tick the last counts; one that says what already holds is dropped. */
function withoutRepetition<C extends { readonly tick: number }>(
  changes: readonly C[],
  same: (a: C, b: C) => boolean,
): C[] {
  const kept: C[] = [];
  for (const change of [...changes].sort((a, b) => a.tick - b.tick)) {
    if (kept.at(-1)?.tick === change.tick) kept.pop();
    const before = kept.at(-1);
    if (!before || !same(before, change)) kept.push(change);
  }
  return kept;
}
