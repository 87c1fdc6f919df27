// From the printed score to the passage: bars played out in order, ties joined, notes gathered into onsets.

import { type Articulation, lowestFirst, type Note, type Onset } from '../../music/onset.ts';
import type { Passage } from '../../music/passage.ts';
import { spellingName } from '../../music/pitch.ts';
import { rangeWarnings } from '../range-warnings.ts';
import type { FileReading, IssueList } from '../reading.ts';
import { checkBarLengths, numberBars, type PrintedBar, withoutEmptyPickup } from './bar-lengths.ts';
import { MOST_BARS_PLAYED, playingOrder } from './playing-order.ts';
import { keyChanges, rehearsalMarks, tempos } from './running-marks.ts';
import type { DraftBar, DraftNote, DraftScore } from './score.ts';
import { type PlayedBar, type Sounding, soundingNotes } from './tie-joining.ts';

/** More than any passage or movement; repeats of repeats stop here. */
const MOST_NOTES = 200_000;

export function buildPassage(written: DraftScore, name: string, issues: IssueList): FileReading {
  if (issues.failed) return { issues: issues.list(), noteCount: 0 };
  const score = written.order ? written : { ...written, bars: withoutEmptyPickup(written.bars, issues) };
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
  const short = score.bars
    .flatMap((bar) => bar.notes)
    .find((n) => n.durationTicks < 1 && n.ornament !== 'grace');
  if (short) {
    const message = `Cannot read ${spellingName(short.spelling)}: it is shorter than the finest length known here`;
    issues.error('note.short', message, short.place);
    return { issues: issues.list(), noteCount: 0 };
  }
  const sounding = soundingNotes(played, issues);
  const onsets = gatherOnsets(sounding, voiceNumbers(score.bars), issues);
  const last = played.at(-1)?.bar;
  if (!last || onsets.length === 0) {
    issues.error('notes.none', 'Cannot make a passage: there is not a single note to play');
    return { issues: issues.list(), noteCount: 0 };
  }
  const { tempo, tempoChanges } = tempos(printed, played, issues);
  const passage: Passage = {
    name,
    title: score.title,
    ...(score.composer && { composer: score.composer }),
    tempo,
    keys: keyChanges(printed, played),
    tempoChanges,
    bars: played.map(({ bar }) => bar),
    parts: score.parts,
    rehearsalMarks: rehearsalMarks(played),
    onsets,
    endTick: last.startTick + last.durationTicks,
  };
  for (const message of rangeWarnings(passage)) issues.warn('range', message);
  const noteCount = onsets.reduce((sum, onset) => sum + onset.notes.length, 0);
  return { passage, issues: issues.list(), noteCount };
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
      ...articulationsOf(sounding),
      ...(sounding.slurred && { slurred: true }),
      ...(sounding.graceIndex !== undefined && { graceIndex: sounding.graceIndex }),
    };
    const list = byTick.get(tick) ?? [];
    byTick.set(tick, list);
    const twin =
      note.ornament === 'grace'
        ? -1
        : list.findIndex((n) => n.pitch === note.pitch && n.part === note.part && n.ornament !== 'grace');
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

const ARTICULATION_ORDER: readonly Articulation[] = [
  'staccato',
  'tenuto',
  'accent',
  'marcato',
  'fermata',
  'breath',
];

function articulationsOf({ draft, fermata }: Sounding): Pick<Note, 'articulations'> {
  const own = draft.articulations ?? [];
  const all: readonly Articulation[] = fermata && !own.includes('fermata') ? [...own, 'fermata'] : own;
  // One order, whatever the order in the file: two files that say the same read the same.
  const ordered = ARTICULATION_ORDER.filter((articulation) => all.includes(articulation));
  return ordered.length > 0 ? { articulations: ordered } : {};
}
