// A MIDI file as a passage. A written file (an export) keeps its rhythm exactly; a recorded one is put on the grid by
// the quantiser, and how sure that is, is told. What a MIDI file does not say (spelling, hands, pickups) is guessed
// and, where it matters, told. Pitches are sounding; names are as the player of each part's instrument reads them.

import { INSTRUMENTS } from '../../music/instrument.ts';
import { barTicks } from '../../music/meter.ts';
import type { Problem } from '../../problem.ts';
import { barsOf, MOST_BARS } from '../draft/meter-bars.ts';
import { buildPassage } from '../draft/passage-builder.ts';
import { MOST_PARTS } from '../draft/score.ts';
import { draftOf, type SoundingLine } from '../draft/sounding-score.ts';
import { type FileReading, IssueList } from '../reading.ts';
import { type MidiEvents, readMidiEvents } from './events.ts';
import { type Grid, gridOf } from './grid.ts';
import { keysOf, tempoChangesOf } from './keys-and-tempos.ts';
import { linesOf, type MidiLine, partsOf, titleOf } from './lines.ts';
import { type MidiMarks, marksOf, ticksPerQuarterOf } from './marks.ts';
import type { FileNote } from './pairing.ts';
import { placeRecorded } from './recorded.ts';
import { chooseTracks, type TrackChoice } from './selection.ts';
import { endsAreExact, gracesOf, placeWritten } from './written.ts';

const DEFAULT_MICROS_PER_QUARTER = 500_000;

export function readMidiFile(bytes: Uint8Array, name: string, choice: TrackChoice = {}): FileReading {
  const read = readMidiEvents(bytes);
  if (!read.ok) return refused(read.problem, name);
  const file = read.value;
  const chosen = chooseTracks(file, choice);
  if (!chosen.ok) return refused(chosen.problem, name);
  const issues = new IssueList();
  for (const issue of [...file.issues, ...chosen.value.issues]) {
    issues.warn(issue.code, issue.message, issue.place);
  }
  const all = linesOf(chosen.value, issues);
  if (all.length > MOST_PARTS) {
    issues.error('parts.too-many', `Cannot read ${all.length} parts: at most ${MOST_PARTS} are read`);
    return { issues: issues.list(), noteCount: 0 };
  }
  const parts = partsOf(all);
  const lines = parts.flatMap((part, index) => part.lines.map((line) => ({ line, part: index })));
  const marks = marksOf(
    file,
    chosen.value.tracks.map((t) => t.number),
  );
  const { lines: sounding, grid } = placeNotes(file, lines, marks, issues);
  if (!sounding.some((line) => line.notes.length > 0)) {
    issues.error('notes.none', 'Cannot make a passage: there is not a single note to play');
    return { issues: issues.list(), noteCount: 0 };
  }
  const bars = barsOf(marks.meters, endTickOf(file, sounding, marks, grid), issues, marks.pickup);
  if (bars.length > MOST_BARS) {
    issues.error('midi.too-long', `Cannot make a passage: it would last more than ${MOST_BARS} bars`);
    return { issues: issues.list(), noteCount: 0 };
  }
  const { tempo, changes } = tempoChangesOf(marks.tempos, bars);
  const score = {
    title: titleOf(file) ?? name,
    ...(marks.composer === undefined ? {} : { composer: marks.composer }),
    parts: parts.map(({ name: partName, instrument }) => ({ name: partName, instrument })),
    lines: sounding,
    bars,
    keys: keysOf(marks.keys, INSTRUMENTS[parts[0]!.instrument].transposition),
    tempo,
    tempoChanges: changes,
    rehearsalMarks: marks.rehearsals,
  };
  return buildPassage(draftOf(score, issues), name, issues);
}

function refused(problem: Problem, name: string): FileReading {
  const message = problem.message.replace('Cannot read the MIDI file', `Cannot read ${name}`);
  const hint = problem.hint === undefined ? '' : ` (${problem.hint})`;
  return {
    issues: [
      {
        code: problem.code,
        message: message + hint,
        severity: 'error',
        ...(problem.place ? { place: problem.place } : {}),
      },
    ],
    noteCount: 0,
  };
}

interface OwnedLine {
  readonly line: MidiLine;
  readonly part: number;
}

/** The notes in our ticks; `grid` is there where the file is a written one. */
function placeNotes(
  file: MidiEvents,
  lines: readonly OwnedLine[],
  marks: MidiMarks,
  issues: IssueList,
): { readonly lines: SoundingLine[]; readonly grid?: Grid } {
  const ticksPerQuarter = ticksPerQuarterOf(file);
  const notes = lines.flatMap(({ line }) => line.notes);
  warnOfUnreleased(notes, issues);
  if (file.division.kind === 'metrical') {
    const graces = new Map(
      lines.flatMap(({ line }) => [...gracesOf(line.notes, ticksPerQuarter, marks.written)]),
    );
    const main = notes.filter((n) => !graces.has(n));
    const grid = gridOf(
      main.map((n) => n.onTick),
      ticksPerQuarter,
    );
    if (grid.written || marks.written) {
      const off = main.filter((n) => grid.placeOn(n.onTick) === undefined).length;
      if (off > 0 && !marks.written) {
        const what = off === 1 ? '1 note stands' : `${off} notes stand`;
        issues.warn('midi.off-grid', `${what} on no grid: kept where the file has it`);
      }
      const exact = endsAreExact(main, grid);
      return {
        lines: lines.map(({ line, part }) => ({
          ...line,
          part,
          notes: placeWritten(line.notes, graces, grid, ticksPerQuarter, exact),
        })),
        grid,
      };
    }
  }
  const microsPerQuarter =
    marks.tempos.find((t) => t.tick === 0)?.microsPerQuarter ?? DEFAULT_MICROS_PER_QUARTER;
  const time = { ticksPerQuarter, microsPerQuarter, meters: marks.meters };
  return { lines: placeRecorded(lines, time, issues) };
}

/** Where the music ends; a written file may end with a bar or two of rest, longer silence is no music. */
function endTickOf(
  file: MidiEvents,
  lines: readonly SoundingLine[],
  { meters }: MidiMarks,
  grid: Grid | undefined,
): number {
  let end = 0;
  for (const { notes } of lines) {
    for (const { tick, durationTicks } of notes) end = Math.max(end, tick + durationTicks);
  }
  const shortest = meters.reduce(
    (least, m) => Math.min(least, barTicks(m.meter)),
    barTicks({ count: 4, unit: 4 }),
  );
  const fileEnd = file.tracks.reduce((last, t) => Math.max(last, grid?.nearest(t.endTick) ?? 0), 0);
  return fileEnd <= end + 2 * shortest ? Math.max(end, fileEnd) : end;
}

function warnOfUnreleased(notes: readonly FileNote[], issues: IssueList): void {
  const held = notes.filter((n) => n.offTick === undefined).length;
  if (held === 0) return;
  const what = held === 1 ? 'a note is' : `${held} notes are`;
  issues.warn('midi.unreleased', `${what} never released: taken as held to the next one`);
}
