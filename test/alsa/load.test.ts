// Many players at once over the real driver. FETTLE_ALSA_LOAD_SECONDS sets how long (10; 600 for the bench).
import { describe, expect, it } from 'vitest';
import { type MidiSource, openMidiSource } from '../../src/devices/midi-source.ts';
import { type FileNote, figure, inputClients, playFile, sleep, writeParts } from './sequencer.ts';

const PLAYERS = 16;
const NOTES_PER_SECOND = 20;
const SECONDS = Number(process.env.FETTLE_ALSA_LOAD_SECONDS ?? 10);
/** How often the figures are taken, so that a leak or a slow loss shows as a slope. */
const LOOK_SECONDS = 60;

describe(`${PLAYERS} players at ${NOTES_PER_SECOND} notes a second`, () => {
  it('lose no note and mix no player up', { timeout: (SECONDS + 300) * 1000 }, async () => {
    const sources: MidiSource[] = [];
    const heard: number[][] = [];
    for (let player = 0; player < PLAYERS; player += 1) {
      const opened = await openMidiSource('Midi Through');
      if (!opened.ok) throw new Error(opened.problem.message);
      const pitches: number[] = [];
      heard.push(pitches);
      opened.value.start((event) => {
        if (event.type === 'note-on') pitches.push(event.pitch);
      });
      sources.push(opened.value);
    }
    const clients = inputClients();
    expect(clients).toHaveLength(PLAYERS);
    const gap = 1_000_000 / NOTES_PER_SECOND;
    const count = SECONDS * NOTES_PER_SECOND;
    const pitchOf = (player: number, i: number) => 30 + player * 5 + (i % 5);
    // One sender with one timer for all: sixteen would load the emulated machine more than what is measured.
    const file = writeParts(
      clients.map((_, player) =>
        Array.from(
          { length: count },
          (_, i): FileNote => ({
            atMicros: 500_000 + i * gap + player * 1000,
            durationMicros: gap / 2,
            pitch: pitchOf(player, i),
          }),
        ),
      ),
    );
    await sleep(300);
    const memoryBefore = process.memoryUsage().rss;
    const cpuBefore = process.cpuUsage();
    const started = performance.now();
    const look = (name: string) => {
      const cpu = process.cpuUsage(cpuBefore);
      const seconds = (performance.now() - started) / 1000;
      figure(`${name}, ${Math.round(seconds)} s`, {
        'notes heard': heard.reduce((sum, pitches) => sum + pitches.length, 0),
        'share of one (emulated) core': (cpu.user + cpu.system) / 1e6 / seconds,
        'memory grown, MB': (process.memoryUsage().rss - memoryBefore) / 1e6,
      });
    };
    const looking = setInterval(() => look('so far'), LOOK_SECONDS * 1000);
    await playFile(file, clients.join(','));
    await sleep(1000);
    clearInterval(looking);
    look(`${PLAYERS} players, ${PLAYERS * count} notes sent`);
    for (const source of sources) await source.close();
    heard.forEach((pitches, player) => {
      expect(pitches).toHaveLength(count);
      expect(pitches.findIndex((pitch, i) => pitch !== pitchOf(player, i))).toBe(-1);
    });
  });
});
