// Intervals over the real driver, sent by ALSA's own player, with the main thread blocked 200 ms at a time.
import { describe, expect, it } from 'vitest';
import { openMidiSource } from '../../src/devices/midi-source.ts';
import { monotonicMicros } from '../../src/devices/system-clock.ts';
import { figure, playFile, quantile, sleep, stallMainThread, writeNotes } from './sequencer.ts';

describe('notes over the real driver', () => {
  // A loaded host now and then holds the emulated sender up: that is not the stamps' doing, and does not come thrice.
  it('keep their intervals within 1 ms while the main thread is blocked 200 ms at a time', {
    retry: 2,
  }, async () => {
    let at = 300_000;
    const notes = Array.from({ length: 120 }, (_, i) => {
      at += 60_000 + ((i * 7919) % 190_000);
      return { atMicros: at, durationMicros: 40_000, pitch: 48 + (i % 24) };
    });
    const source = await openMidiSource('Midi Through');
    if (!source.ok) throw new Error(source.problem.message);
    const heard: { at: number; callback: number; pitch: number }[] = [];
    source.value.start((event) => {
      if (event.type === 'note-on') {
        heard.push({ at: event.at, callback: monotonicMicros(), pitch: event.pitch });
      }
    });
    const release = stallMainThread(200);
    await playFile(writeNotes(notes));
    await sleep(500);
    release();
    await source.value.close();

    expect(heard.map((note) => note.pitch)).toEqual(notes.map((note) => note.pitch));
    const errors = (times: number[]) =>
      times.slice(1).map((time, i) => {
        const sent = notes[i + 1]!.atMicros - notes[i]!.atMicros;
        return Math.abs(time - times[i]! - sent) / 1000;
      });
    const stamped = errors(heard.map((note) => note.at));
    const taken = errors(heard.map((note) => note.callback));
    figure('interval error, ms', {
      'stamps p50': quantile(stamped, 0.5),
      'stamps p99': quantile(stamped, 0.99),
      'callbacks p50': quantile(taken, 0.5),
      'callbacks p99': quantile(taken, 0.99),
    });
    expect(quantile(stamped, 0.99)).toBeLessThanOrEqual(1);
    // The stall was real.
    expect(quantile(taken, 0.5)).toBeGreaterThan(5);
  });
});
