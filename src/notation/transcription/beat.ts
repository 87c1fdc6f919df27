// The rhythms of one beat: every way to put its strikes on a division of the beat, with what each costs. A cost is a
// negative log probability (natural), so that costs add up and a difference of 2.3 means ten times less likely. The
// prior is common practice, no source: coarse divisions before fine ones; a beat that is struck before one that is
// not; complete triplets before gapped ones; a weak place is followed by the stronger one after it (the syncopation
// of Longuet-Higgins & Lee 1984, Music Perception 1:424, as a cost).

export interface BeatRhythm {
  /** Equal parts of the beat; 1 where only the beat itself is struck, 0 where nothing is. */
  readonly division: number;
  readonly family: 'duple' | 'triple' | 'none';
  /** Place of each strike in parts of the beat, ascending; `division` itself is the next beat's start. */
  readonly places: readonly number[];
  /** The last strike belongs to the next beat's start. */
  readonly carries: boolean;
  readonly takesStart: boolean;
  /** How badly the strikes lie. */
  readonly timingCost: number;
  /** How unusual the rhythm is: where no strike was carried over onto the beat's start, and where one was. */
  readonly rhythmCost: number;
  readonly rhythmCostCarried: number;
}

export interface BeatStrikes {
  /** Microseconds after the beat's start, negative not possible; less than the beat. */
  readonly offsetsMicros: readonly number[];
  /** By strike: whether it can be one chord with the strike before it. */
  readonly joinable: readonly boolean[];
}

export interface BeatScale {
  readonly beatMicros: number;
  readonly compound: boolean;
  /** Spread of one strike about its place. */
  readonly sdMicros: number;
}

/** Division to its cost: in simple meter a beat is halved, in compound meter it is parted in three. */
const SIMPLE_DIVISIONS: readonly (readonly [division: number, cost: number])[] = [
  [1, 0.1],
  [2, 0.6],
  [4, 1.3],
  [3, 1.6],
  [6, 2.8],
  [8, 3.6],
  [12, 6],
  [16, 6.5],
];
const COMPOUND_DIVISIONS: readonly (readonly [division: number, cost: number])[] = [
  [1, 0.1],
  [3, 0.5],
  [6, 1.3],
  [2, 3],
  [4, 4],
  [12, 4.5],
  [24, 7],
];

const START_SILENT = 1.6;
const SYNCOPATED = 1.3;
const GAP = { 3: 0.6, 6: 0.9, 8: 0.6, 12: 0.9, 16: 0.6, 24: 0.9 } as Readonly<Record<number, number>>;
const FEWEST: Readonly<Record<number, number>> = { 6: 2, 8: 3, 12: 5, 16: 6, 24: 7 };
/** Rhythms this much dearer than the best one are dropped; at most so many are kept. */
const DROPPED_BEYOND = 14;
const MOST_RHYTHMS = 32;
/** Finest last resort: 32 parts. */
const LAST_RESORT = { division: 32, cost: 25 };

export function rhythmsOfBeat(strikes: BeatStrikes, scale: BeatScale): BeatRhythm[] {
  const count = strikes.offsetsMicros.length;
  if (count === 0) return [SILENT];
  const divisions = scale.compound ? COMPOUND_DIVISIONS : SIMPLE_DIVISIONS;
  const rhythms: BeatRhythm[] = [];
  for (const [division, cost] of divisions) {
    // A division of which so little is struck that it can only be an accident is not tried.
    if (count < (FEWEST[division] ?? 1) || count > division + 1) continue;
    for (const { places, timingCost } of placings(strikes, scale, division)) {
      const rhythm = rhythmOf(places, division, timingCost, cost, scale.compound);
      if (rhythm) rhythms.push(rhythm);
    }
  }
  if (rhythms.length === 0) return [lastResort(strikes, scale)];
  rhythms.sort((a, b) => total(a) - total(b));
  const best = total(rhythms[0]!);
  return rhythms.filter((r) => total(r) <= best + DROPPED_BEYOND).slice(0, MOST_RHYTHMS);
}

const SILENT: BeatRhythm = {
  division: 0,
  family: 'none',
  places: [],
  carries: false,
  takesStart: false,
  timingCost: 0,
  rhythmCost: 0,
  rhythmCostCarried: 0,
};

function total(rhythm: BeatRhythm): number {
  return rhythm.timingCost + Math.min(rhythm.rhythmCost, rhythm.rhythmCostCarried);
}

/** Each strike on one of its two nearest places, ascending; two on one place only where they can be one chord. */
function placings(
  { offsetsMicros, joinable }: BeatStrikes,
  scale: BeatScale,
  division: number,
): { places: number[]; timingCost: number }[] {
  const part = scale.beatMicros / division;
  let partial: { places: number[]; timingCost: number }[] = [{ places: [], timingCost: 0 }];
  offsetsMicros.forEach((offset, i) => {
    const low = Math.max(0, Math.floor(offset / part));
    const next: { places: number[]; timingCost: number }[] = [];
    for (const place of low < division ? [low, low + 1] : [division]) {
      const cost = timingCost(offset - place * part, scale.sdMicros);
      for (const before of partial) {
        const last = before.places.at(-1) ?? -1;
        if (place < last || (place === last && !joinable[i])) continue;
        next.push({ places: [...before.places, place], timingCost: before.timingCost + cost });
      }
    }
    next.sort((a, b) => a.timingCost - b.timingCost);
    partial = next.slice(0, 24);
  });
  return partial;
}

/** Gaussian with heavier tails: one strike in a hundred lies three times as wide. */
function timingCost(deviationMicros: number, sdMicros: number): number {
  const z = deviationMicros / sdMicros;
  const density = 0.99 * Math.exp((-z * z) / 2) + (0.01 / 3) * Math.exp((-z * z) / 18);
  return density > 1e-300 ? -Math.log(density) : (z * z) / 18 + 5;
}

function rhythmOf(
  places: readonly number[],
  division: number,
  timing: number,
  divisionCost: number,
  compound: boolean,
): BeatRhythm | undefined {
  const carries = places.at(-1) === division;
  const struck = new Set(places);
  struck.delete(division);
  // A rhythm that a coarser division has already is not counted twice.
  if (division > 1 && [...struck].reduce(commonDivisor, division) > 1) return undefined;
  if (division === 1 && struck.size === 0) {
    return { ...SILENT, places, carries, timingCost: timing };
  }
  const rhythm = (startStruck: boolean) =>
    divisionCost + rhythmCost(new Set(startStruck ? [0, ...struck] : struck), division, compound);
  return {
    division,
    family: division === 1 ? 'none' : division % 3 === 0 ? 'triple' : 'duple',
    places,
    carries,
    takesStart: struck.has(0),
    timingCost: timing,
    rhythmCost: rhythm(false),
    rhythmCostCarried: rhythm(true),
  };
}

/** Costs that have been reckoned, by rhythm: a take has few rhythms and asks for each of them thousands of times. */
const reckoned = new Map<number, number>();

function rhythmCost(struck: ReadonlySet<number>, division: number, compound: boolean): number {
  let rhythm = 0;
  for (const place of struck) rhythm += 2 ** place;
  const key = (rhythm * 64 + division) * 2 + (compound ? 1 : 0);
  const known = reckoned.get(key);
  if (known !== undefined) return known;
  const cost = costOfRhythm(struck, division, compound);
  reckoned.set(key, cost);
  return cost;
}

function costOfRhythm(struck: ReadonlySet<number>, division: number, compound: boolean): number {
  let cost = struck.has(0) ? 0 : START_SILENT;
  for (const place of struck) {
    const strength = commonDivisor(place, division);
    // The next place that is stronger, or as strong where a triplet goes on.
    const step =
      division % 3 === 0 && strength % 2 !== 0 && !compound ? strength : nextStronger(place, division);
    const next = place + step;
    if (place > 0 && next < division && !struck.has(next)) cost += SYNCOPATED;
  }
  if (!(compound && (division === 3 || division === 6))) {
    cost += (GAP[division] ?? 0) * (division - Math.max(1, struck.size) - (struck.has(0) ? 0 : 1));
  }
  return cost;
}

/** Distance to the next place whose strength is greater. */
function nextStronger(place: number, division: number): number {
  const strength = commonDivisor(place, division);
  for (let next = place + 1; next <= division; next++) {
    if (commonDivisor(next, division) > strength) return next - place;
  }
  return division - place;
}

function lastResort({ offsetsMicros }: BeatStrikes, scale: BeatScale): BeatRhythm {
  const { division, cost } = LAST_RESORT;
  let last = -1;
  const places = offsetsMicros.map((offset) => {
    last = Math.min(division - 1, Math.max(last + 1, Math.round((offset / scale.beatMicros) * division)));
    return last;
  });
  return {
    division,
    family: 'duple',
    places,
    carries: false,
    takesStart: places[0] === 0,
    timingCost: cost,
    rhythmCost: cost,
    rhythmCostCarried: cost,
  };
}

function commonDivisor(a: number, b: number): number {
  let [x, y] = [a, b];
  while (y !== 0) [x, y] = [y, x % y];
  return x;
}
