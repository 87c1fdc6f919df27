// Passages made at random from a seed, for round trips and for second opinions: every feature that the writers and the
// readers share, in the form in which readers give it (voices numbered by staff, onsets merged, lowest note first).

import { INSTRUMENTS, type InstrumentName } from '../../src/music/instrument.ts';
import { type Bar, barTicks, type Meter } from '../../src/music/meter.ts';
import {
  type Articulation,
  lowestFirst,
  type Note,
  type Onset,
  type Ornament,
} from '../../src/music/onset.ts';
import type { KeyChange, Mode, Passage } from '../../src/music/passage.ts';
import { keyAlter, LETTERS, type Spelling, spellingToPitch } from '../../src/music/pitch.ts';
import { TICKS_PER_QUARTER as Q } from '../../src/music/ticks.ts';

export interface Wanted {
  /** Grace notes, trills and their like: other programs play them out, each in its own way. */
  readonly ornaments?: boolean;
  /** Staccato and its like: other programs shorten the notes. */
  readonly marks?: boolean;
  readonly parts?: number;
  readonly instruments?: readonly InstrumentName[];
  /** Double sharps and flats. */
  readonly doubleAccidentals?: boolean;
  /** A pitch may begin while the same pitch of its part still sounds in another voice: MIDI cannot tell these apart. */
  readonly overlaps?: boolean;
  /** Sevenths of a beat. */
  readonly septuplets?: boolean;
  readonly bars?: number;
  /** Meter, key and tempo changes, rehearsal marks and printed numbers that jump. */
  readonly changes?: boolean;
}

/** mulberry32, T. Ettinger, public domain: small, and the same everywhere. */
export function lots(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const METERS: readonly Meter[] = [
  { count: 4, unit: 4 },
  { count: 3, unit: 4 },
  { count: 2, unit: 2 },
  { count: 6, unit: 8 },
  { count: 7, unit: 8 },
  { count: 5, unit: 4 },
  { count: 9, unit: 8 },
];
/** Ways to fill a quarter and an eighth. */
const QUARTER_CELLS: readonly (readonly number[])[] = [
  [Q],
  [Q / 2, Q / 2],
  [(Q * 3) / 4, Q / 4],
  [Q / 4, (Q * 3) / 4],
  [Q / 4, Q / 4, Q / 4, Q / 4],
  [Q / 3, Q / 3, Q / 3],
  [(Q * 2) / 3, Q / 3],
  [Q / 3, Q / 6, Q / 6, Q / 3],
  [Q / 5, Q / 5, Q / 5, Q / 5, Q / 5],
  [Q / 8, Q / 8, Q / 4, Q / 2],
  [Q / 7, Q / 7, (Q * 2) / 7, Q / 7, Q / 7, Q / 7],
];
const EIGHTH_CELLS: readonly (readonly number[])[] = [[Q / 2], [Q / 4, Q / 4], [Q / 6, Q / 6, Q / 6]];
const MODES: readonly Mode[] = ['major', 'minor', 'dorian', 'phrygian', 'lydian', 'mixolydian', 'locrian'];
const ARTICULATIONS: readonly Articulation[] = [
  'staccato',
  'tenuto',
  'accent',
  'marcato',
  'fermata',
  'breath',
];
const ORNAMENTS: readonly Ornament[] = ['trill', 'mordent', 'turn'];

export function generatedPassage(seed: number, wanted: Wanted = {}): Passage {
  const lot = lots(seed);
  const upTo = (n: number) => Math.floor(lot() * n);
  const pick = <T>(list: readonly T[]): T => list[upTo(list.length)]!;
  const chance = (p: number) => lot() < p;

  const bars = makeBars();
  const endTick = bars.at(-1)!.startTick + bars.at(-1)!.durationTicks;
  const keys = makeKeys();
  const instruments =
    wanted.instruments ?? (['keyboard', 'clarinet', 'flute', 'alto-sax', 'horn', 'tenor-sax'] as const);
  const parts = Array.from({ length: wanted.parts ?? 1 + upTo(2) }, () => {
    const instrument = pick(instruments);
    return { name: chance(0.7) ? INSTRUMENTS[instrument].name : 'Second desk', instrument };
  });

  const byTick = new Map<number, Note[]>();
  parts.forEach(({ instrument }, part) => {
    const staves = instrument === 'keyboard' && chance(0.7) ? 2 : 1;
    let voice = 0;
    for (let staff = 1; staff <= staves; staff += 1) {
      const voices = chance(0.25) ? 2 : 1;
      for (let v = 0; v < voices; v += 1) {
        voice += 1;
        if (!fillVoice(part, staff, voice, instrument)) voice -= 1;
      }
    }
  });
  const onsets: Onset[] = [...byTick.entries()]
    .sort(([a], [b]) => a - b)
    .map(([tick, notes]) => ({ tick, notes: notes.sort(lowestFirst) }));
  if (onsets.length === 0) return generatedPassage(seed + 1_000_003, wanted);
  const changes = wanted.changes !== false;
  const beats = [Q, Q / 2, (Q * 3) / 2, 2 * Q];
  const tempo = { bpm: 40 + upTo(160) + (changes && chance(0.2) ? 0.5 : 0), beatTicks: pick(beats) };
  const tempoChanges =
    changes && chance(0.3)
      ? [{ tick: pick(bars.slice(1))?.startTick ?? 0, tempo: { bpm: tempo.bpm + 7, beatTicks: pick(beats) } }]
      : [];
  return {
    name: 'generated',
    title: `Generated ${seed}`,
    ...(chance(0.5) && { composer: 'for the Tidewrack Wind Band' }),
    tempo,
    keys,
    tempoChanges: tempoChanges.filter(({ tick }) => tick > 0),
    bars,
    parts,
    rehearsalMarks:
      changes && chance(0.3) ? [{ tick: pick(bars).startTick, text: pick(['A', 'B', '12a']) }] : [],
    onsets,
    endTick,
  };

  function makeBars(): Bar[] {
    let meter = pick(METERS);
    const count = wanted.bars ?? 1 + upTo(5);
    const made: Bar[] = [];
    const pickup = count > 1 && chance(0.3);
    let startTick = 0;
    let number = pickup ? 0 : 1;
    for (let i = 0; i < count; i += 1) {
      if (i > 0 && wanted.changes !== false && chance(0.15)) meter = pick(METERS);
      if (i > 0 && wanted.changes !== false && chance(0.1)) number += 1 + upTo(5);
      const short = pickup && i === 0;
      const durationTicks = short ? Q / 2 : barTicks(meter);
      made.push({ number, startTick, durationTicks, meter, pickup: short });
      startTick += durationTicks;
      number += 1;
    }
    return made;
  }

  function makeKeys(): KeyChange[] {
    const key = (tick: number): KeyChange => ({ tick, fifths: upTo(13) - 6, mode: pick(MODES) });
    const first = key(0);
    if (wanted.changes === false || bars.length < 2 || !chance(0.3)) return [first];
    const second = key(pick(bars.slice(1)).startTick);
    return second.fifths === first.fifths && second.mode === first.mode ? [first] : [first, second];
  }

  /** False where the lot gave the voice no note. */
  function fillVoice(part: number, staff: number, voice: number, instrument: InstrumentName): boolean {
    const { transposition, lowest, highest } = INSTRUMENTS[instrument];
    const low = Math.max(lowest, staff === 2 ? 36 : 55);
    const high = Math.min(highest, staff === 2 ? 60 : 84);
    let before: { notes: Note[]; tick: number }[] = [];
    let any = false;
    let slurring = false;
    for (const bar of bars) {
      let tick = bar.startTick;
      const end = bar.startTick + bar.durationTicks;
      while (tick < end) {
        const cell =
          end - tick >= Q && (bar.meter.unit <= 4 || chance(0.5))
            ? pick(wanted.septuplets === false ? QUARTER_CELLS.slice(0, -1) : QUARTER_CELLS)
            : pick(EIGHTH_CELLS);
        for (const duration of cell) {
          const rest = chance(0.12) || (voice > 1 && chance(0.3));
          const tied = !rest && before.length > 0 && chance(0.12);
          if (tied) stretch(before, duration);
          else before = rest ? [] : strike(tick, duration);
          tick += duration;
        }
      }
    }
    endSlur();
    return any;

    /** A tie: the last chord goes on. */
    function stretch(chord: typeof before, duration: number): void {
      for (const { notes, tick } of chord) {
        const list = byTick.get(tick)!;
        for (const note of notes) {
          const at = list.indexOf(note);
          const longer = { ...note, durationTicks: note.durationTicks + duration };
          list[at] = longer;
          notes[notes.indexOf(note)] = longer;
        }
      }
    }

    function strike(tick: number, durationTicks: number): typeof before {
      const list = byTick.get(tick) ?? [];
      const size = instrument === 'keyboard' && chance(0.3) ? 2 + upTo(2) : 1;
      const chord: Note[] = [];
      if (chance(0.15)) slurring = !slurring;
      const articulations = wanted.marks !== false && chance(0.15) ? [pick(ARTICULATIONS)] : undefined;
      for (let i = 0; i < size; i += 1) {
        const spelling = spell(tick);
        const pitch = spellingToPitch(spelling) + transposition;
        if (
          [...list, ...chord].some(
            (n) =>
              n.part === part &&
              (n.pitch === pitch ||
                (n.voice === voice &&
                  n.spelling.letter === spelling.letter &&
                  n.spelling.octave === spelling.octave)),
          )
        )
          continue;
        if (wanted.overlaps === false && stillSounds(part, pitch, tick, durationTicks)) continue;
        chord.push({
          pitch,
          spelling,
          durationTicks,
          part,
          staff,
          voice,
          ...(articulations && { articulations }),
          ...(slurring && { slurred: true }),
        });
      }
      if (chord.length === 0) return [];
      if (wanted.ornaments !== false && chance(0.08)) {
        const top = chord.reduce((a, b) => (b.pitch > a.pitch ? b : a));
        chord[chord.indexOf(top)] = { ...top, ornament: pick(ORNAMENTS) };
      }
      const graces: Note[] = [];
      if (wanted.ornaments !== false && chance(0.08)) {
        for (let graceIndex = 0; graceIndex <= upTo(3); graceIndex += 1) {
          const spelling = spell(tick);
          const pitch = spellingToPitch(spelling) + transposition;
          graces.push({
            pitch,
            spelling,
            durationTicks: 0,
            part,
            staff,
            voice,
            ornament: 'grace',
            graceIndex,
          });
        }
      }
      byTick.set(tick, [...list, ...graces, ...chord]);
      any = true;
      return [{ notes: chord, tick }];
    }

    function stillSounds(of: number, pitch: number, tick: number, durationTicks: number): boolean {
      return [...byTick.entries()].some(([from, notes]) =>
        notes.some(
          (n) =>
            n.part === of &&
            n.pitch === pitch &&
            n.voice !== voice &&
            from < tick + durationTicks + 2 * Q &&
            from + n.durationTicks > tick - Q,
        ),
      );
    }

    function spell(tick: number): Spelling {
      const fifths = keys.filter((k) => k.tick <= tick).at(-1)!.fifths;
      for (;;) {
        const letter = pick(LETTERS);
        const octave = 1 + upTo(6);
        const most = wanted.doubleAccidentals === false ? 1 : 2;
        const alter = chance(0.7) ? keyAlter(letter, fifths) : upTo(2 * most + 1) - most;
        const written = spellingToPitch({ letter, alter, octave });
        if (written >= low && written <= high) return { letter, alter, octave };
      }
    }

    /** The last notes of a voice are joined to nothing. */
    function endSlur(): void {
      const mine = [...byTick.entries()].filter(([, notes]) => notes.some((n) => isMine(n)));
      const last = Math.max(...mine.map(([tick]) => tick));
      const list = byTick.get(last);
      if (!list) return;
      byTick.set(
        last,
        list.map((note) => {
          if (!isMine(note)) return note;
          const { slurred: _, ...rest } = note;
          return rest;
        }),
      );
    }

    function isMine(note: Note): boolean {
      return note.part === part && note.voice === voice;
    }
  }
}
