// From the printed score to the passage: bars played out in order, ties joined, notes gathered into onsets.

import { INSTRUMENTS } from '../music/instrument.ts';
import { type Bar, beatTicks, type Meter } from '../music/meter.ts';
import type { Note, Onset } from '../music/onset.ts';
import type { KeyChange, Passage, RehearsalMark, TempoChange } from '../music/passage.ts';
import { spellingName, spellingToPitch } from '../music/pitch.ts';
import type { Tempo } from '../music/tempo.ts';
import { checkBarLengths, numberBars, type PrintedBar } from './bar-lengths.ts';
import { MOST_BARS_PLAYED, playingOrder } from './playing-order.ts';
import type { IssueList, Reading } from './reading.ts';
import type { DraftBar, DraftNote, DraftScore } from './score-draft.ts';

/** Beats a minute where the music gives no tempo. */
export const DEFAULT_TEMPO_BPM = 72;

/** More than any passage or movement; repeats of repeats stop here. */
const MOST_NOTES = 200_000;

/** A note under way: its length grows while ties are joined to it. */
interface Sounding {
  tick: number;
  endTick: number;
  readonly draft: DraftNote;
  slurred: boolean;
  graceIndex?: number;
  bar: number;
}

export function buildPassage(score: DraftScore, name: string, issues: IssueList): Reading {
  if (issues.failed) return { issues: issues.list(), noteCount: 0 };
  const printed = numberBars(score.bars);
  checkBarLengths(printed, issues);
  const order = score.order ?? playingOrder(score.bars.map((bar) => bar.route));
  if (!order || order.length > MOST_BARS_PLAYED) {
    issues.error(
      'repeats.endless',
      `Cannot play out the repeats: there are more than ${MOST_BARS_PLAYED} bars`,
    );
    return { issues: issues.list(), noteCount: 0 };
  }
  const played = layOut(printed, order);
  const noteTotal = played.reduce((sum, { source }) => sum + source.draft.notes.length, 0);
  if (noteTotal > MOST_NOTES) {
    issues.error(
      'notes.too-many',
      `Cannot read so long a piece: ${noteTotal} notes, at most ${MOST_NOTES} are read`,
    );
    return { issues: issues.list(), noteCount: 0 };
  }
  const sounding = joinTies(gatherNotes(played, issues), issues);
  const onsets = gatherOnsets(sounding, voiceNumbers(score.bars), issues);
  const last = played.at(-1)?.bar;
  if (!last || onsets.length === 0) {
    issues.error('notes.none', 'Cannot make a passage: there is not a single note to play');
    return { issues: issues.list(), noteCount: 0 };
  }
  warnOfRange(score, onsets, issues);
  const { tempo, tempoChanges } = tempos(played, issues);
  const passage: Passage = {
    name,
    title: score.title,
    ...(score.composer && { composer: score.composer }),
    tempo,
    keys: keyChanges(played),
    tempoChanges,
    bars: played.map(({ bar }) => bar),
    parts: score.parts,
    rehearsalMarks: rehearsalMarks(played),
    onsets,
    endTick: last.startTick + last.durationTicks,
  };
  const noteCount = onsets.reduce((sum, onset) => sum + onset.notes.length, 0);
  return { passage, issues: issues.list(), noteCount };
}

/** One bar in playing order. */
interface PlayedBar {
  readonly source: PrintedBar;
  readonly bar: Bar;
  /** Index of the printed bar. */
  readonly index: number;
}

function layOut(printed: readonly PrintedBar[], order: readonly number[]): PlayedBar[] {
  let startTick = 0;
  return order.map((index) => {
    const source = printed[index]!;
    const { durationTicks, number, pickup } = source;
    const bar = { number, startTick, durationTicks, meter: source.draft.meter, pickup };
    startTick += durationTicks;
    return { source, bar, index };
  });
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
  const lastTick = Math.max(...placed.map((note) => note.tick));
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
      end = next;
    }
  }
  return notes.filter((note) => !swallowed.has(note));
}

/** Voices of each part numbered from 1: by the staff they first stand on, then by the file's own order. */
function voiceNumbers(bars: readonly DraftBar[]): Map<string, number> {
  const seen = new Map<string, DraftNote>();
  for (const bar of bars) {
    for (const note of bar.notes) {
      const key = `${note.part}:${note.voice}`;
      if (!seen.has(key)) seen.set(key, note);
    }
  }
  const firsts = [...seen.values()].sort((a, b) => a.part - b.part || a.staff - b.staff || a.voice - b.voice);
  const numbers = new Map<string, number>();
  let part = -1;
  let number = 0;
  for (const note of firsts) {
    number = note.part === part ? number + 1 : 1;
    part = note.part;
    numbers.set(`${note.part}:${note.voice}`, number);
  }
  return numbers;
}

function gatherOnsets(notes: readonly Sounding[], voices: Map<string, number>, issues: IssueList): Onset[] {
  const byTick = new Map<number, Note[]>();
  let doubled = 0;
  let doubledBar = 0;
  for (const sounding of notes) {
    const { draft, tick } = sounding;
    const note: Note = {
      pitch: draft.pitch,
      spelling: draft.spelling,
      durationTicks: sounding.endTick - tick,
      part: draft.part,
      staff: draft.staff,
      voice: voices.get(`${draft.part}:${draft.voice}`)!,
      ...(draft.ornament && { ornament: draft.ornament }),
      ...(draft.articulations?.length && { articulations: draft.articulations }),
      ...(sounding.slurred && { slurred: true }),
      ...(sounding.graceIndex !== undefined && { graceIndex: sounding.graceIndex }),
    };
    const list = byTick.get(tick) ?? [];
    byTick.set(tick, list);
    const twin = list.findIndex(
      (n) =>
        n.pitch === note.pitch &&
        n.part === note.part &&
        !n.ornament === !note.ornament &&
        n.ornament !== 'grace',
    );
    if (twin < 0) {
      list.push(note);
      continue;
    }
    if (doubled === 0) doubledBar = sounding.bar;
    doubled += 1;
    if (note.durationTicks > list[twin]!.durationTicks) list[twin] = note;
  }
  if (doubled > 0) {
    const what = doubled === 1 ? 'One note is' : `${doubled} notes are`;
    const message = `${what} written in two voices at once: kept once, with the longer length`;
    issues.warn('unison.merged', message, { bar: doubledBar });
  }
  return [...byTick.entries()]
    .sort(([a], [b]) => a - b)
    .map(([tick, list]) => ({ tick, notes: list.sort(lowestFirst) }));
}

function lowestFirst(a: Note, b: Note): number {
  return (
    a.pitch - b.pitch ||
    a.part - b.part ||
    a.staff - b.staff ||
    a.voice - b.voice ||
    (a.graceIndex ?? -1) - (b.graceIndex ?? -1)
  );
}

function keyChanges(played: readonly PlayedBar[]): KeyChange[] {
  const keys: KeyChange[] = [];
  const add = (key: KeyChange) => {
    const before = keys.at(-1);
    if (before && before.fifths === key.fifths && before.mode === key.mode) return;
    if (before?.tick === key.tick) keys.pop();
    keys.push(key);
  };
  eachState(played, (bar, at, draft) => {
    for (const { offset, fifths, mode } of draft.keys) {
      if (at === 'start' || offset >= 0)
        add({ tick: at === 'start' ? bar.startTick : bar.startTick + offset, fifths, mode });
    }
  });
  if (keys[0]?.tick !== 0) keys.unshift({ tick: 0, fifths: 0, mode: 'major' });
  return keys;
}

/**
 * Visits the bars in playing order. After a jump (a repeat, an ending, a coda) the state in force at the printed bar
 * is what was printed last before it, so the nearest earlier printed bar that sets it is visited first, as 'start'.
 */
function eachState(
  played: readonly PlayedBar[],
  visit: (bar: Bar, at: 'start' | 'inside', draft: DraftBar) => void,
): void {
  let expected = 0;
  const byIndex = new Map(played.map((p) => [p.index, p]));
  for (const { source, bar, index } of played) {
    if (index !== expected) {
      for (let i = index - 1; i >= 0; i -= 1) {
        const earlier = byIndex.get(i)?.source.draft;
        if (earlier && earlier.keys.length > 0) {
          visit(bar, 'start', { ...earlier, keys: earlier.keys.slice(-1), tempos: [], marks: [] });
          break;
        }
      }
    }
    visit(bar, 'inside', source.draft);
    expected = index + 1;
  }
}

function tempos(
  played: readonly PlayedBar[],
  issues: IssueList,
): { tempo: Tempo; tempoChanges: TempoChange[] } {
  const changes: TempoChange[] = [];
  let expected = 0;
  for (const { source, bar, index } of played) {
    if (index !== expected) {
      const inForce = lastTempoBefore(played, index);
      if (inForce) pushTempo(changes, { tick: bar.startTick, tempo: inForce });
    }
    for (const { offset, tempo } of source.draft.tempos)
      pushTempo(changes, { tick: bar.startTick + offset, tempo });
    expected = index + 1;
  }
  const first = changes[0];
  if (first && first.tick === 0) return { tempo: first.tempo, tempoChanges: changes.slice(1) };
  if (first) return { tempo: first.tempo, tempoChanges: changes };
  const message = `No tempo is written: taken as ${DEFAULT_TEMPO_BPM} beats a minute`;
  issues.warn('tempo.default', message);
  const meter: Meter = played[0]!.bar.meter;
  return { tempo: { bpm: DEFAULT_TEMPO_BPM, beatTicks: beatTicks(meter) }, tempoChanges: [] };
}

function lastTempoBefore(played: readonly PlayedBar[], index: number): Tempo | undefined {
  let best: { index: number; tempo: Tempo } | undefined;
  for (const p of played) {
    const tempo = p.source.draft.tempos.at(-1)?.tempo;
    if (p.index < index && tempo && (!best || p.index > best.index)) best = { index: p.index, tempo };
  }
  return best?.tempo;
}

function pushTempo(changes: TempoChange[], change: TempoChange): void {
  const before = changes.at(-1);
  if (before && before.tempo.bpm === change.tempo.bpm && before.tempo.beatTicks === change.tempo.beatTicks)
    return;
  if (before?.tick === change.tick) changes.pop();
  changes.push(change);
}

function rehearsalMarks(played: readonly PlayedBar[]): RehearsalMark[] {
  return played.flatMap(({ source, bar }) =>
    source.draft.marks.map(({ offset, text }) => ({ tick: bar.startTick + offset, text })),
  );
}

function warnOfRange(score: DraftScore, onsets: readonly Onset[], issues: IssueList): void {
  score.parts.forEach((part, index) => {
    const instrument = INSTRUMENTS[part.instrument];
    const out = onsets
      .flatMap((onset) => onset.notes)
      .filter((note) => note.part === index)
      .map((note) => note.spelling)
      .filter((s) => spellingToPitch(s) < instrument.lowest || spellingToPitch(s) > instrument.highest);
    if (out.length === 0) return;
    const names = [...new Set(out.map(spellingName))].slice(0, 5).join(', ');
    const message = `Outside the range of ${instrument.name}: ${names}${out.length > 5 ? ', ...' : ''}`;
    issues.warn('range', message);
  });
}
