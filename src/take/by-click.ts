// What the click says of a run that was stopped for a slip. Of the last notes before the stop the pitches alone seldom
// tell what they were: a note on the place of the next one may be that one played wrongly, one too many, or the one after
// it with a note left out. On a click each place has its time, and the notes stand where they were meant.

import type { Alignment, ExtraNote, NoteVerdict } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { microsAt } from '../music/timing.ts';
import { median } from '../statistics.ts';

/** A note so near to the time of an onset is meant for it (see entry.ts), and in quick notes nearer to no other. */
const IN_TIME_MICROS = 110_000;
const NEAREST_SHARE = 0.45;
/** Habit and a slow instrument: see placement-trouble.ts. */
const LAG_MOST_MICROS = 150_000;

/**
 * The alignment, or the one by the click where that has no more slips in it. Notes that belong to an ornament stay where
 * they are, and whoever went back is not on the click any more.
 */
export function byClick(
  expectation: Expectation,
  played: readonly PlayedNote[],
  alignment: Alignment,
): Alignment {
  const { onsets, zeroMicros, pulse } = expectation;
  if (pulse !== 'click' || zeroMicros === undefined) return alignment;
  if (alignment.extras.some(({ kind }) => kind === 'restart')) return alignment;
  const asked = onsets.map(({ tick }) => zeroMicros + microsAt(expectation, tick));
  const matched = { expectation, played, alignment };
  const places = placesOf(played, asked);
  const slips = slipsIn(alignment) + timesLost(matched, asked, places);
  if (slips === 0) return alignment;
  const lag = lagOf(matched, asked);
  const due = asked.map((micros) => micros + lag);
  // Of few notes a slip among them bends where they seem to stand: so both are tried.
  const told = [alignmentAt(places, matched), alignmentAt(placesOf(played, due), matched)];
  const best = told.reduce((a, b) => (slipsIn(b) < slipsIn(a) ? b : a));
  return slipsIn(best) <= slips ? best : alignment;
}

/** Where the right notes stood on the click. */
function lagOf({ alignment, played }: Matched, asked: readonly number[]): number {
  const apart = alignment.notes
    .filter(({ verdict }) => verdict === 'right')
    .map(({ onset, played: by }) => played[by!]!.onMicros - asked[onset]!);
  const lag = apart.length > 0 ? median(apart) : 0;
  return Math.abs(lag) <= LAG_MOST_MICROS ? lag : 0;
}

/** By onset the indexes of the notes that stand on its time; most notes stand on one, some on none. */
function placesOf(played: readonly PlayedNote[], due: readonly number[]): number[][] {
  const places: number[][] = due.map(() => []);
  for (const [i, { onMicros }] of played.entries()) {
    const after = due.findIndex((micros) => micros >= onMicros);
    const next = after === -1 ? due.length - 1 : after;
    const near = next > 0 && onMicros - due[next - 1]! < Math.abs(due[next]! - onMicros) ? next - 1 : next;
    const gap = Math.min(
      due[near]! - (due[near - 1] ?? Number.NEGATIVE_INFINITY),
      (due[near + 1] ?? Number.POSITIVE_INFINITY) - due[near]!,
    );
    if (Math.abs(onMicros - due[near]!) <= inTimeMicros(gap)) places[near]!.push(i);
  }
  return places;
}

function inTimeMicros(gapMicros: number): number {
  return Math.min(IN_TIME_MICROS, NEAREST_SHARE * gapMicros);
}

interface Matched {
  readonly expectation: Expectation;
  readonly played: readonly PlayedNote[];
  readonly alignment: Alignment;
}

/** On each onset first the right notes, then others for those that are lacking; what is left over was added. */
function alignmentAt(
  places: readonly (readonly number[])[],
  { expectation: { onsets }, played, alignment }: Matched,
): Alignment {
  const grace = ({ onset, note }: NoteVerdict) => onsets[onset]!.notes[note]!.ornament === 'grace';
  const known = new Map(alignment.extras.map((extra) => [extra.played, extra]));
  const taken = new Set(alignment.notes.filter(grace).flatMap((note) => note.played ?? []));
  const isFree = (index: number) => !taken.has(index) && known.get(index)?.kind !== 'ornament';
  const take = (note: NoteVerdict, verdict: 'right' | 'wrong', by: number | undefined): NoteVerdict => {
    const { onset, note: index } = note;
    if (by === undefined) return { onset, note: index, verdict: 'missed' };
    taken.add(by);
    return { onset, note: index, verdict, played: by };
  };
  const right = alignment.notes.map((note) => {
    if (grace(note)) return note;
    const { pitch } = onsets[note.onset]!.notes[note.note]!;
    const by = places[note.onset]!.find((index) => isFree(index) && played[index]!.pitch === pitch);
    return take(note, 'right', by);
  });
  const notes = right.map((note) =>
    note.verdict === 'missed' ? take(note, 'wrong', places[note.onset]!.find(isFree)) : note,
  );
  const onsetOf = new Map(
    notes.flatMap((note) => (note.played === undefined ? [] : [[note.played, note.onset]])),
  );
  let before = 0;
  const extras = played.flatMap((_, index): ExtraNote[] => {
    const onset = onsetOf.get(index);
    if (onset !== undefined) {
      before = Math.max(before, onset + 1);
      return [];
    }
    const was = known.get(index);
    const same = was && (was.kind === 'ornament' || (was.before === before && isBetweenRight(notes, before)));
    return [same ? was : { played: index, kind: 'extra', before }];
  });
  return { notes, extras };
}

/** A blip stands between two right notes. */
function isBetweenRight(notes: readonly NoteVerdict[], before: number): boolean {
  const isRight = (onset: number) => notes.some((note) => note.onset === onset && note.verdict === 'right');
  return isRight(before - 1) && isRight(before);
}

/**
 * How often notes came in another order, or the time was lost or gained that puts a note on the place of another: who left
 * out one of equal notes seems to have lost so much.
 */
function timesLost(
  { alignment, expectation, played }: Matched,
  asked: readonly number[],
  places: readonly (readonly number[])[],
): number {
  // Ornaments put their note off.
  const plain = expectation.onsets.map(({ notes }) => notes.every(({ ornament }) => ornament === undefined));
  const right = alignment.notes.filter(({ verdict, onset }) => verdict === 'right' && plain[onset]);
  const apart = right.map(({ onset, played: by }) => played[by!]!.onMicros - asked[onset]!);
  return apart.slice(1).filter((here, i) => {
    const { onset, played: by } = right[i + 1]!;
    if (played[by!]!.onMicros < played[right[i]!.played!]!.onMicros && onset > right[i]!.onset) return true;
    const isElsewhere = places.some((indexes, place) => place !== onset && indexes.includes(by!));
    return isElsewhere && Math.abs(here - apart[i]!) > inTimeMicros(asked[onset]! - asked[right[i]!.onset]!);
  }).length;
}

/** Up to the last onset that was played. */
function slipsIn({ notes, extras }: Alignment): number {
  const last = Math.max(-1, ...notes.flatMap(({ played, onset }) => (played === undefined ? [] : onset)));
  const slipped = notes.filter(
    ({ verdict, onset }) => verdict === 'wrong' || (verdict === 'missed' && onset <= last),
  );
  return slipped.length + extras.filter(({ kind }) => kind !== 'ornament').length;
}
