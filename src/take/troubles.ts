// What kept a take from being clean, worst first. Slips of notes come before timing: a wrong note is the cause, what
// follows it the effect.

import type { Alignment, ExtraNote } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import type { Tolerance } from './tolerance.ts';
import type { Trouble } from './verdict.ts';

export interface Findings {
  readonly expectation: Expectation;
  readonly played: readonly PlayedNote[];
  readonly alignment: Alignment;
  /** What was not in time, the weightiest first. */
  readonly timing: readonly Trouble[];
  readonly spreadMicros: readonly number[];
  readonly tolerance: Tolerance;
  /** Notes played after the take was over. */
  readonly ranOn: number;
}

export function troublesOf(findings: Findings): Trouble[] {
  if (findings.played.length === 0) return [{ kind: 'silent' }];
  const slips = noteSlips(findings);
  const octave = octaveOf(findings);
  return [
    ...(octave === 0 ? [] : [{ kind: 'octave' as const, octaves: octave }]),
    ...slips,
    ...findings.timing,
    ...chordTroubles(findings),
    ...runOn(findings),
  ];
}

/** Wrong, missed, extra, blip, restart: in the order of the passage, the first one usually being the cause. */
function noteSlips({ expectation, alignment, played: notes }: Findings): Trouble[] {
  const end = expectation.onsets.length;
  const slips: { at: number; trouble: Trouble }[] = [];
  for (const { onset, note, verdict, played } of alignment.notes) {
    if (verdict === 'wrong') {
      const playedPitch = notes[played!]!.pitch;
      slips.push({ at: onset, trouble: { kind: 'wrong', onset, note, played: played!, playedPitch } });
    }
    if (verdict === 'missed') slips.push({ at: onset, trouble: { kind: 'missed', onset, note } });
  }
  for (const { kind, before, played } of alignment.extras) {
    const playedPitch = notes[played]!.pitch;
    const at = before - 0.5;
    if (kind === 'extra' && before < end) slips.push({ at, trouble: { kind, before, played, playedPitch } });
    if (kind === 'blip') {
      const times = blipTimes(alignment, notes, before, notes[played]!);
      slips.push({ at, trouble: { kind, before, played, playedPitch, ...times } });
    }
  }
  for (const { before, notes } of restarts(alignment.extras)) {
    slips.push({ at: before - 0.5, trouble: { kind: 'restart', before, notes } });
  }
  return slips.sort((a, b) => a.at - b.at).map(({ trouble }) => trouble);
}

/** A blip stands between two right notes: that is what makes it one. */
function blipTimes({ notes }: Alignment, played: readonly PlayedNote[], before: number, blip: PlayedNote) {
  const rightOf = (onset: number) => {
    const right = notes.find((one) => one.onset === onset && one.verdict === 'right')!;
    return played[right.played!]!.onMicros;
  };
  const rightMicros = rightOf(before);
  const lastedMicros = Math.max(0, Math.min(blip.offMicros ?? rightMicros, rightMicros) - blip.onMicros);
  return { leftMicros: rightOf(before - 1), onMicros: blip.onMicros, lastedMicros, rightMicros };
}

/** The notes given up by going back to one place are one trouble. */
function restarts(extras: readonly ExtraNote[]): { before: number; notes: number }[] {
  const counts = new Map<number, number>();
  for (const { kind, before } of extras) {
    if (kind === 'restart') counts.set(before, (counts.get(before) ?? 0) + 1);
  }
  return [...counts].map(([before, notes]) => ({ before, notes }));
}

/** A chord may spread as far as two notes may stray apart, each to its side. */
function chordTroubles({ spreadMicros, tolerance }: Findings): Trouble[] {
  return spreadMicros.flatMap((spread, onset) =>
    spread > 2 * tolerance.floorMicros ? [{ kind: 'chord' as const, onset, spreadMicros: spread }] : [],
  );
}

function runOn({ alignment, expectation, ranOn }: Findings): Trouble[] {
  const past = alignment.extras.filter((e) => e.kind === 'extra' && e.before >= expectation.onsets.length);
  const notes = past.length + ranOn;
  return notes > 0 ? [{ kind: 'ran-on', notes }] : [];
}

/** All right notes lie the same number of octaves away: the instrument is set so, the player is right. */
function octaveOf({ expectation, played, alignment }: Findings): number {
  const right = alignment.notes.filter((n) => n.verdict === 'right');
  const apart = right.map(
    (n) => played[n.played!]!.pitch - expectation.onsets[n.onset]!.notes[n.note]!.pitch,
  );
  return (apart[0] ?? 0) / 12;
}
