// What kept a take from being clean, worst first. Slips of notes come before timing: a wrong note is the cause, what
// follows it the effect.

import type { Alignment, ExtraNote } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import { requiredNotes } from '../music/onset.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { microsBetween } from '../music/timing.ts';
import type { JudgeOptions } from './judge-options.ts';
import { type Touch, touchTroubles } from './touch.ts';
import type { Trouble } from './verdict.ts';

export interface Findings {
  readonly expectation: Expectation;
  readonly played: readonly PlayedNote[];
  readonly alignment: Alignment;
  /** What was not in time, the weightiest first. */
  readonly timing: readonly Trouble[];
  readonly spreadMicros: readonly number[];
  readonly onsetMicros: readonly (number | undefined)[];
  /** Played time over time asked. */
  readonly stretch: number;
  readonly touch: Touch | undefined;
  readonly options: JudgeOptions;
}

export function troublesOf(findings: Findings): Trouble[] {
  if (findings.played.length === 0) return [{ kind: 'silent' }];
  const tail = tailOf(findings);
  const slips = [...noteSlips(findings, tail.from), ...tail.troubles];
  const octave = octaveOf(findings);
  return [
    ...(octave === 0 ? [] : [{ kind: 'octave' as const, octaves: octave }]),
    ...slips,
    ...timingAndChords(findings),
    ...runOn(findings),
    ...(isHoldJudged(findings.options) ? clippedLanding(findings) : []),
    ...unevenTouch(findings),
  ];
}

/** Only where it was asked for. */
function unevenTouch({ touch, options: { evenTouch = false } }: Findings): Trouble[] {
  return touch && evenTouch ? touchTroubles(touch) : [];
}

/** Wrong, missed, extra, blip, restart: in the order of the passage, the first one usually being the cause. */
function noteSlips(findings: Findings, tailFrom: number): Trouble[] {
  const { alignment, played: notes } = findings;
  const end = endOf(findings);
  const slips: { at: number; trouble: Trouble }[] = [];
  for (const { onset, note, verdict, played } of alignment.notes) {
    const others = alignment.notes.some((n) => n.onset === onset && n.verdict === 'right');
    const ofChord = others && isChord(findings.expectation, onset);
    if (verdict === 'wrong') {
      const playedPitch = notes[played!]!.pitch;
      const wrong = { kind: verdict, onset, note, played: played!, playedPitch };
      slips.push({ at: onset, trouble: { ...wrong, ...(ofChord ? { ofChord } : {}) } });
    }
    if (verdict === 'missed' && onset < tailFrom) {
      slips.push({ at: onset, trouble: { kind: 'missed', onset, note, ...(ofChord ? { ofChord } : {}) } });
    }
  }
  for (const { kind, before, played } of alignment.extras) {
    const playedPitch = notes[played]!.pitch;
    const at = before - 0.5;
    if (kind === 'extra' && before < end) {
      const struckWith = onsetStruckWith(findings, before, notes[played]!.onMicros);
      slips.push({ at, trouble: { kind, before, played, playedPitch, ...struckWith } });
    }
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

/** The onsets of the whole run: what comes after the last one that was tried is no more than added. */
function endOf({ expectation, options: { whole = expectation } }: Findings): number {
  return whole.onsets.length;
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

/** Where the chord of a hand was torn apart, that hand seems late or early as a whole: then the chord is the cause. */
function timingAndChords(findings: Findings): Trouble[] {
  const chords = chordTroubles(findings);
  const torn = new Set(chords.map(({ onset }) => onset));
  const [of, others] = [
    findings.timing.filter((one) => one.kind === 'displaced' && torn.has(one.onset)),
    findings.timing.filter((one) => one.kind !== 'displaced' || !torn.has(one.onset)),
  ];
  return of.length > 0 ? [...chords, ...others] : [...others, ...chords];
}

/** A chord may spread as far as two notes may stray apart, each to its side. */
function chordTroubles({
  spreadMicros,
  options: { tolerance },
}: Findings): Extract<Trouble, { readonly kind: 'chord' }>[] {
  return spreadMicros.flatMap((spread, onset) =>
    spread > 2 * tolerance.floorMicros ? [{ kind: 'chord' as const, onset, spreadMicros: spread }] : [],
  );
}

/** Played past the end; what was struck with its last chord was added to that. */
function runOn(findings: Findings): Trouble[] {
  const { alignment, played, options } = findings;
  const end = endOf(findings);
  const past = alignment.extras.filter((e) => e.kind === 'extra' && e.before >= end);
  const together = past.flatMap(({ played: index }): Trouble[] => {
    const { pitch, onMicros } = played[index]!;
    const struckWith = onsetStruckWith(findings, end, onMicros);
    return struckWith
      ? [{ kind: 'extra', before: end, played: index, playedPitch: pitch, ...struckWith }]
      : [];
  });
  const notes = past.length - together.length + (options.ranOn ?? 0);
  return [...together, ...(notes > 0 ? [{ kind: 'ran-on' as const, notes }] : [])];
}

/** The onset next to a place that was struck together with a note; undefined where that stood alone. */
function onsetStruckWith(
  { expectation, onsetMicros }: Findings,
  before: number,
  atMicros: number,
): { readonly chord: number } | { readonly withNote: number } | undefined {
  const near = [before - 1, before].find((onset) => {
    const at = onsetMicros[onset];
    if (at === undefined) return false;
    const others = [onsetMicros[onset - 1], onsetMicros[onset + 1]].flatMap((other) =>
      other === undefined ? [] : Math.abs(other - at),
    );
    const most = isChord(expectation, onset)
      ? WITH_CHORD_MICROS
      : Math.min(WITH_CHORD_MICROS, ...others.map((gap) => WITH_NOTE_SHARE * gap));
    return Math.abs(atMicros - at) <= most;
  });
  if (near === undefined) return undefined;
  return isChord(expectation, near) ? { chord: near } : { withNote: near };
}

function isChord({ onsets }: Expectation, onset: number): boolean {
  return requiredNotes(onsets[onset]!).length > 1;
}

/** In quick notes what was struck with a single one stands much nearer to it than to the next. */
const WITH_NOTE_SHARE = 0.3;

/** Chord notes stand within some 30 ms, a slipped finger somewhat more (common practice, no source). */
export const WITH_CHORD_MICROS = 70_000;

/**
 * The onsets at the end that nobody played. Who plays slower than the click had no time for them yet, and that is told
 * of the tempo; who had time has stopped short.
 */
function tailOf(findings: Findings): { readonly from: number; readonly troubles: Trouble[] } {
  const { expectation, alignment, onsetMicros, options, stretch } = findings;
  const { onsets } = expectation;
  const played = alignment.notes.filter((note) => note.played !== undefined);
  const last = Math.max(-1, ...played.map(({ onset }) => onset));
  const left = onsets.length - 1 - last;
  const at = onsetMicros[last];
  if (left === 0 || at === undefined) return { from: onsets.length, troubles: [] };
  const due = at + microsBetween(expectation, onsets[last]!.tick, onsets[last + 1]!.tick) * stretch;
  const wait = Math.max(LATE_MICROS, options.tolerance.floorMicros);
  if (
    findings.timing.length > 0 &&
    stretch > SLOW &&
    played.length >= SLOW_LEAST &&
    due + wait > (options.untilMicros ?? Number.POSITIVE_INFINITY)
  )
    return { from: last + 1, troubles: [] };
  if (last < 1) return { from: onsets.length, troubles: [] };
  const stopped: Trouble = {
    kind: 'stopped-short',
    onset: last,
    left: (options.whole ?? expectation).onsets.length - 1 - last,
  };
  return { from: last + 1, troubles: [stopped] };
}

/** So much slower than asked, from so many notes, is a tempo and no slip. */
const SLOW = 1.08;
const SLOW_LEAST = 3;
const LATE_MICROS = 100_000;

/** Too short a landing is advice at `rough`, a fault from `steady` on. */
export function isHoldJudged({ tolerance }: JudgeOptions): boolean {
  return tolerance.name !== 'rough';
}

/** A landing that was let go at once; a note marked short is excepted before (see result.ts). */
export function clippedLanding({
  expectation,
  alignment,
  played,
  options,
}: Pick<Findings, 'expectation' | 'alignment' | 'played' | 'options'>): Extract<
  Trouble,
  { readonly kind: 'clipped' }
>[] {
  const { holdMicros, heldUntilMicros = Number.NEGATIVE_INFINITY } = options;
  if (holdMicros === undefined) return [];
  const onset = expectation.onsets.length - 1;
  const landing = alignment.notes.filter((note) => note.onset === onset && note.verdict === 'right');
  const off = (index: number) => played[index]!.offMicros ?? Number.POSITIVE_INFINITY;
  const ornament = alignment.extras.filter(({ kind, before }) => kind === 'ornament' && before > onset);
  const until = Math.max(heldUntilMicros, ...ornament.map((extra) => off(extra.played)));
  const held = landing.map(({ played: index }) => Math.max(off(index!), until) - played[index!]!.onMicros);
  const longest = Math.max(...held);
  return held.length > 0 && longest < HELD_LEAST_SHARE * holdMicros
    ? [{ kind: 'clipped', onset, heldMicros: longest }]
    : [];
}

/** A landing wants a breath after it, but not before it has sounded (common practice, no source). */
const HELD_LEAST_SHARE = 0.25;

/** All right notes lie the same number of octaves away: the instrument is set so, the player is right. */
function octaveOf({ expectation, played, alignment }: Findings): number {
  const right = alignment.notes.filter((n) => n.verdict === 'right');
  const apart = right.map(
    (n) => played[n.played!]!.pitch - expectation.onsets[n.onset]!.notes[n.note]!.pitch,
  );
  return (apart[0] ?? 0) / 12;
}
