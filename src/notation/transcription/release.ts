// How long the notes are written: up to the next onset unless the release says that a rest was meant. Players let go
// before the next note (about nine tenths of the length, shorter when detached), so a release is compared with every
// length that can be written, and a rest costs something. Common practice, no source.

export interface ReleasedOnset {
  readonly tick: number;
  readonly notes: readonly { readonly index: number; readonly heldTicks: number | undefined }[];
}

/** Held share of a written length: mean and spread. */
const HELD_SHARE = 0.9;
const HELD_SHARE_SD = 0.13;
/** A rest, by where it begins: on a beat, on a half (or third), elsewhere. */
const REST_COST = { beat: 1.2, half: 2, elsewhere: 4 } as const;
/** Held over the next onset by more than this share of a beat: a held voice, not a slur. */
const OVERLAP_BEATS = 0.3;

/** Ends are looked for as far as this from where the release points to. */
const BEATS_TRIED = 24;

export interface ReleaseScale {
  readonly ticksPerBeat: number;
  readonly compound: boolean;
  /** By beat: into how many parts its onsets were read. */
  readonly divisions: ReadonlyMap<number, number>;
}

export interface WrittenLength {
  readonly index: number;
  readonly durationTicks: number;
}

/** For each onset the written length of its notes, in the order given. */
export function lengthsOf(onsets: readonly ReleasedOnset[], scale: ReleaseScale): WrittenLength[][] {
  return onsets.map((onset, i) =>
    onset.notes.map(({ index, heldTicks }) => ({
      index,
      durationTicks: lengthOf(heldTicks, onsets, i, scale),
    })),
  );
}

function lengthOf(
  held: number | undefined,
  onsets: readonly ReleasedOnset[],
  i: number,
  scale: ReleaseScale,
): number {
  const { ticksPerBeat } = scale;
  const { tick } = onsets[i]!;
  const next = onsets[i + 1]?.tick;
  const usual = next ?? (Math.floor(tick / ticksPerBeat) + 1) * ticksPerBeat;
  if (held === undefined) return usual - tick;
  const slack = OVERLAP_BEATS * ticksPerBeat;
  const overHeld = next !== undefined && held > next - tick + slack;
  const open = next === undefined || overHeld;
  const ends = new Set<number>(open ? [] : [next]);
  const { from, to } = likelyEnds(tick, held, open ? undefined : next, ticksPerBeat);
  for (let beat = Math.floor(from / ticksPerBeat); beat * ticksPerBeat <= to; beat++) {
    for (const place of placesOfBeat(beat, scale)) if (place > from && place <= to) ends.add(place);
  }
  if (overHeld) {
    for (let j = firstAfter(onsets, from, i); j < onsets.length && onsets[j]!.tick <= to; j++) {
      ends.add(onsets[j]!.tick);
    }
  }
  let best = usual;
  let least = Number.POSITIVE_INFINITY;
  for (const end of [...ends].sort((a, b) => a - b)) {
    const z = (held / (end - tick) - HELD_SHARE) / HELD_SHARE_SD;
    // Slurred over a little is as good as held to the end.
    const slurred = end === next && z > 0 && held - (end - tick) < slack;
    const cost = (slurred ? 0 : Math.min((z * z) / 2, 12)) + (end === next ? 0 : restCost(end, scale));
    if (cost < least) {
      least = cost;
      best = end;
    }
  }
  return best - tick;
}

/**
 * The stretch of ticks in which a note that was held so long may end. Of a long one only the beats about its release are
 * tried, so that neither a rest nor a held note takes time for its length.
 */
function likelyEnds(
  tick: number,
  held: number,
  next: number | undefined,
  ticksPerBeat: number,
): { readonly from: number; readonly to: number } {
  const most = tick + held * 1.6 + ticksPerBeat;
  const around = tick + held / HELD_SHARE;
  const near = BEATS_TRIED * ticksPerBeat;
  return {
    from: Math.max(tick, around - near),
    to: Math.min(next ?? most, most, around + near),
  };
}

/** Index of the first onset after a tick, from `least` + 1 on. */
function firstAfter(onsets: readonly ReleasedOnset[], tick: number, least: number): number {
  let low = least + 1;
  let high = onsets.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (onsets[middle]!.tick > tick) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Where a note may end: on the parts into which the beat was read, at least on its halves (compound: thirds). */
function placesOfBeat(beat: number, { ticksPerBeat, compound, divisions }: ReleaseScale): number[] {
  const read = divisions.get(beat) ?? 1;
  const parts = read > 1 ? read : compound ? 3 : 2;
  return Array.from({ length: parts }, (_, j) => Math.round(((beat * parts + j) * ticksPerBeat) / parts));
}

function restCost(place: number, { ticksPerBeat, compound }: ReleaseScale): number {
  if (place % ticksPerBeat === 0) return REST_COST.beat;
  const parts = compound ? 3 : 2;
  return (place * parts) % ticksPerBeat === 0 ? REST_COST.half : REST_COST.elsewhere;
}
