// Notes in playing order: grace notes moved to the onset they precede, ties joined across bars, chords and endings.

import type { Bar } from '../../music/meter.ts';
import { spellingName } from '../../music/pitch.ts';
import type { IssueList } from '../reading.ts';
import type { PrintedBar } from './bar-lengths.ts';
import type { DraftNote } from './score.ts';

/** One bar in playing order. */
export interface PlayedBar {
  readonly source: PrintedBar;
  readonly bar: Bar;
  /** Index of the printed bar. */
  readonly index: number;
}

/** A note under way: its length grows while ties are joined to it. */
export interface Sounding {
  tick: number;
  endTick: number;
  readonly draft: DraftNote;
  slurred: boolean;
  /** A fermata on a later note of its tie. */
  fermata?: boolean;
  graceIndex?: number;
  bar: number;
}

/** Notes of the bars as played, in no order that matters. */
export function soundingNotes(played: readonly PlayedBar[], issues: IssueList): Sounding[] {
  return joinTies(gatherNotes(played, issues), issues);
}

/** All notes at their ticks, grace notes moved to the next onset of their voice. By voice, then by time. */
function gatherNotes(played: readonly PlayedBar[], issues: IssueList): Sounding[] {
  const byVoice = new Map<string, Sounding[]>();
  played.forEach(({ source, bar }) => {
    for (const draft of source.draft.notes) {
      const tick = bar.startTick + draft.offset;
      const key = `${draft.part}:${draft.voice}`;
      const list = byVoice.get(key) ?? [];
      byVoice.set(key, list);
      const endTick = tick + draft.durationTicks;
      list.push({ tick, endTick, draft, slurred: draft.slurred ?? false, bar: bar.number });
    }
  });
  return [...byVoice.values()].flatMap((voice) => placeGraceNotes(voice, issues));
}

function placeGraceNotes(voice: readonly Sounding[], issues: IssueList): Sounding[] {
  const placed: Sounding[] = [];
  let waiting: Sounding[] = [];
  let tick = -1;
  for (const note of voice) {
    if (note.draft.ornament === 'grace') {
      waiting.push(note);
      continue;
    }
    if (waiting.length > 0 && note.tick >= tick) {
      waiting.forEach((grace, graceIndex) => {
        placed.push({ ...grace, tick: note.tick, endTick: note.tick, graceIndex });
      });
      waiting = [];
    }
    tick = note.tick;
    placed.push(note);
  }
  for (const grace of waiting) {
    const name = spellingName(grace.draft.spelling);
    issues.warn('grace.nowhere', `Grace note ${name} is left out: no note of its voice follows it`, {
      ...grace.draft.place,
      bar: grace.bar,
    });
  }
  const lastTick = placed.reduce((last, note) => Math.max(last, note.tick), 0);
  for (const note of placed) if (note.tick === lastTick) note.slurred = false;
  return placed;
}

/** Joins each tied note to the next of its pitch and part that starts where it ends: in its own voice before another. */
function joinTies(notes: readonly Sounding[], issues: IssueList): Sounding[] {
  const starts = new Map<string, Sounding[]>();
  const startKey = (part: number, pitch: number, tick: number) => `${part}:${pitch}:${tick}`;
  for (const note of notes) {
    if (note.draft.ornament === 'grace') continue;
    const key = startKey(note.draft.part, note.draft.pitch, note.tick);
    starts.set(key, [...(starts.get(key) ?? []), note]);
  }
  const swallowed = new Set<Sounding>();
  const byTick = [...notes].sort((a, b) => a.tick - b.tick);
  for (const note of byTick) {
    if (swallowed.has(note) || note.draft.ornament === 'grace') continue;
    let end: Sounding = note;
    while (end.draft.tied) {
      const here: Sounding = end;
      const key = startKey(note.draft.part, note.draft.pitch, here.endTick);
      const nexts = (starts.get(key) ?? []).filter((n) => !swallowed.has(n) && n !== note);
      const next: Sounding | undefined = nexts.find((n) => n.draft.voice === here.draft.voice) ?? nexts[0];
      if (!next) {
        const name = spellingName(here.draft.spelling);
        const place = { ...here.draft.place, bar: here.bar };
        issues.warn('tie.open', `The tie from ${name} leads to no note: it ends with its own length`, place);
        break;
      }
      swallowed.add(next);
      note.endTick = next.endTick;
      note.slurred = next.slurred;
      if (next.draft.articulations?.includes('fermata')) note.fermata = true;
      end = next;
    }
  }
  return notes.filter((note) => !swallowed.has(note));
}
