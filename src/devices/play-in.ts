// Playing something in: a bar is counted, the click goes on, and everything that is played is kept with its time until
// two bars of silence, a word from outside or the end of the source. No judgement is made here.

import type { ClickAccent, Line, Step } from '../drills/step.ts';
import { barTicks, beatLengths, beatTicks, groupStarts, type Meter } from '../music/meter.ts';
import type { PlayedNote } from '../music/played-note.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import { type Tempo, ticksToMicros } from '../music/tempo.ts';
import type { Click, ClickPort } from '../ports/click.ts';
import type { Clock } from '../ports/clock.ts';
import type { PlayerSource } from '../ports/player-source.ts';

/** Time to take a breath before the first click. */
const READY_MICROS = 1_500_000;
/** Clicks are asked for so many bars ahead. */
const BARS_AHEAD = 2;
const SILENT_BARS = 2;
/** A note held longer than this was never let go: a release has been lost. */
const HELD_BARS = 8;

export interface PlayInPorts {
  readonly source: PlayerSource;
  readonly clock: Clock;
  readonly click: ClickPort;
  /** Every beat at its time; bar 0 is the count-in. */
  readonly onBeat?: (bar: number, beat: number) => void;
  /** Given a function by which the outside (Enter, a signal) ends it. */
  readonly onStart?: (stop: () => void) => void;
}

export interface PlayInSettings {
  readonly tempo: Tempo;
  readonly meter: Meter;
  /** A recorded take begins so long before the first downbeat. */
  readonly pickupTicks?: number;
  /** Notes that are awaited, where they are known; the first is at tick 0 of the first bar. */
  readonly onsets?: Line['onsets'];
  /** Ends by itself after so many bars. */
  readonly bars?: number;
}

export interface PlayedIn {
  /** By onset; sounding pitches. */
  readonly notes: readonly PlayedNote[];
  /** Played time of the first downbeat. */
  readonly zeroMicros: number;
  readonly clicks: readonly Click[];
  readonly end: 'silence' | 'asked' | 'over' | 'lost';
  /** Why the source was lost. */
  readonly reason?: string;
}

/** The source and the click stay open. */
export function playIn(ports: PlayInPorts, settings: PlayInSettings): Promise<PlayedIn> {
  const { source, clock, click } = ports;
  const { tempo, meter } = settings;
  const barMicros = ticksToMicros(barTicks(meter), tempo);
  const beats = beatsOf(meter).map(({ tick, accent }) => ({ atMicros: ticksToMicros(tick, tempo), accent }));
  const beatMicros = beats[1]?.atMicros ?? barMicros;
  const beginMicros = clock.nowMicros() + READY_MICROS;
  const zeroMicros = beginMicros + barMicros;
  const notes: { pitch: number; onMicros: number; velocity: number; offMicros?: number }[] = [];
  const held = new Map<string, (typeof notes)[number]>();
  const clicks: Click[] = [];
  const cancels = new Set<() => void>();
  let cancelEnd = () => {};

  return new Promise((resolve) => {
    const finish = (end: PlayedIn['end'], reason?: string) => {
      cancelEnd();
      for (const cancel of cancels) cancel();
      click.silenceFrom(clock.nowMicros());
      over = true;
      resolve({ notes, zeroMicros, clicks, end, ...(reason === undefined ? {} : { reason }) });
    };
    let over = false;
    const wake = (at: number, callback: () => void) => {
      const cancel = clock.wakeAt(at, () => {
        cancels.delete(cancel);
        if (!over) callback();
      });
      cancels.add(cancel);
    };
    const scheduleBar = (bar: number) => {
      const barAt = zeroMicros + (bar - 1) * barMicros;
      const own = beats.map((beat, i): Click => {
        const atMicros = barAt + beat.atMicros;
        if (ports.onBeat) wake(atMicros, () => ports.onBeat?.(bar, i + 1));
        return { atMicros, accent: beat.accent };
      });
      clicks.push(...own);
      click.schedule(own);
      const next = bar + BARS_AHEAD;
      if (settings.bars === undefined || next <= settings.bars) wake(barAt, () => scheduleBar(next));
    };
    const awaitSilence = (at: number) => {
      if (settings.bars !== undefined) return;
      cancelEnd();
      const bars = held.size > 0 ? HELD_BARS : SILENT_BARS;
      cancelEnd = clock.wakeAt(Math.max(at, zeroMicros) + bars * barMicros, () => finish('silence'));
    };
    const hear = (event: PlayerEvent) => {
      if (over) return;
      if (event.type === 'lost') return finish('lost', event.reason);
      if (event.type === 'ended') return finish('over');
      if (event.type !== 'note-on' && event.type !== 'note-off') return;
      const key = `${event.channel}/${event.pitch}`;
      const sounding = held.get(key);
      if (sounding) {
        sounding.offMicros = event.at;
        held.delete(key);
      }
      // Trying a note before the count is no part of it; half a beat into the count a pickup may begin.
      if (event.type === 'note-on' && event.at >= beginMicros + beatMicros / 2) {
        const note = { pitch: event.pitch, onMicros: event.at, velocity: event.velocity };
        notes.push(note);
        held.set(key, note);
      }
      if (notes.length > 0) awaitSilence(event.at);
    };

    for (let bar = 0; bar < BARS_AHEAD; bar += 1) scheduleBar(bar);
    if (settings.bars !== undefined) {
      cancelEnd = clock.wakeAt(zeroMicros + settings.bars * barMicros, () => finish('silence'));
    } else awaitSilence(zeroMicros);
    source.start(hear);
    const { run, lines } = stepToPlay(settings);
    source.prompt({ run, line: lines[0]!, zeroMicros, attempt: 1 });
    ports.onStart?.(() => {
      if (!over) finish('asked');
    });
  });
}

/** Every beat of a bar as it is clicked: unequal beats and groups are heard. */
function beatsOf(meter: Meter): { readonly tick: number; readonly accent: ClickAccent }[] {
  const lengths = beatLengths(meter);
  const groups = groupStarts(meter);
  let tick = 0;
  return lengths.map((length, i) => {
    const accent = i === 0 ? 'bar' : groups[i] && groups.includes(false) ? 'group' : 'beat';
    const beat = { tick, accent } as const;
    tick += length;
    return beat;
  });
}

/** What a source that plays by itself is told: where the first note stands. */
function stepToPlay({ tempo, meter, pickupTicks = 0, onsets }: PlayInSettings): Step {
  const startTick = -pickupTicks;
  const first = { tick: startTick, durationTicks: beatTicks(meter), notes: [], number: 1 };
  const stopTick = onsets?.at(-1)?.tick ?? startTick;
  const run = {
    name: 'played in',
    tempo,
    pulse: 'click',
    startTick,
    stopTick,
    landing: false,
    joinsNext: false,
    leadInBeats: beatsOf(meter).length,
    holdBeats: 0,
    endTick: stopTick,
    clicks: [],
    beats: [],
  } as const;
  return { run, lines: [{ parts: [0], transposition: 0, onsets: onsets ?? [first] }] };
}
