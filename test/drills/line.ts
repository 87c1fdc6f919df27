// A short way to write a passage in a test: "C4 D4/2 - E4+G4": notes, /2 for half the unit, *3 for three, - a rest,
// + a chord, ~ before a note for a grace note.

import { INSTRUMENTS, type InstrumentName } from '../../src/music/instrument.ts';
import { type Bar, barTicks, beatTicks, type Meter } from '../../src/music/meter.ts';
import type { Note, Onset } from '../../src/music/onset.ts';
import type { Mode, Passage } from '../../src/music/passage.ts';
import { type Letter, type Spelling, spellingToPitch } from '../../src/music/pitch.ts';

export interface LineWishes {
  readonly meter?: Meter;
  /** Ticks of one plain note; an eighth when nothing is said. */
  readonly unitTicks?: number;
  /** Length of a pickup bar. */
  readonly pickupTicks?: number;
  readonly fifths?: number;
  readonly mode?: Mode;
  readonly instrument?: InstrumentName;
}

export function line(text: string, wishes: LineWishes = {}): Passage {
  const {
    meter = { count: 4, unit: 4 },
    unitTicks = 5040,
    pickupTicks = 0,
    fifths = 0,
    mode = 'major',
  } = wishes;
  const instrument = wishes.instrument ?? 'keyboard';
  const onsets: Onset[] = [];
  let tick = 0;
  for (const word of text.trim().split(/\s+/)) {
    const [, names, sign, factor] = /^([^/*]+)([/*])?(\d+)?$/.exec(word)!;
    const durationTicks = sign === '*' ? unitTicks * Number(factor) : unitTicks / Number(factor ?? 1);
    if (names !== '-') {
      const notes = names!.split('+').map((name) => noteOf(name, durationTicks, instrument));
      onsets.push({ tick, notes });
    }
    tick += durationTicks;
  }
  return {
    name: 'tidewrack-line',
    title: 'Tidewrack line',
    tempo: { bpm: 72, beatTicks: beatTicks(meter) },
    keys: [{ tick: 0, fifths, mode }],
    tempoChanges: [],
    bars: bars(meter, pickupTicks, tick),
    parts: [{ name: 'solo', instrument }],
    rehearsalMarks: [],
    onsets,
    endTick: tick,
  };
}

export function spelling(name: string): Spelling {
  const [, letter, signs, octave] = /^([A-G])(#*|b*)(-?\d+)$/.exec(name)!;
  const alter = signs!.startsWith('b') ? -signs!.length : signs!.length;
  return { letter: letter as Letter, alter, octave: Number(octave) };
}

/** Names are written ones; the sounding pitch follows from the instrument. */
function noteOf(name: string, durationTicks: number, instrument: InstrumentName): Note {
  const grace = name.startsWith('~');
  const written = spelling(grace ? name.slice(1) : name);
  return {
    pitch: spellingToPitch(written) + INSTRUMENTS[instrument].transposition,
    spelling: written,
    durationTicks: grace ? 0 : durationTicks,
    part: 0,
    staff: 1,
    voice: 1,
    ...(grace ? { ornament: 'grace' as const } : {}),
  };
}

function bars(meter: Meter, pickupTicks: number, endTick: number): Bar[] {
  const made: Bar[] = [];
  if (pickupTicks > 0)
    made.push({ number: 0, startTick: 0, durationTicks: pickupTicks, meter, pickup: true });
  for (let startTick = pickupTicks; startTick < endTick; startTick += barTicks(meter)) {
    const number = made.filter((bar) => !bar.pickup).length + 1;
    made.push({ number, startTick, durationTicks: barTicks(meter), meter, pickup: false });
  }
  return made;
}
