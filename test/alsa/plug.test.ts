// Pulling the plug of a virtual MIDI card and putting it back. Needs the superuser and the snd_virmidi module, which
// the throw-away machine has.
import { execFileSync, execSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { listInputs } from '../../src/devices/midi-ports.ts';
import { openMidiSource } from '../../src/devices/midi-source.ts';
import { monotonicMicros } from '../../src/devices/system-clock.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { figure, sleep } from './sequencer.ts';

const CARD = '/sys/bus/platform/drivers/snd_virmidi';
const canPull = existsSync(`${CARD}/snd_virmidi.0`) && process.getuid?.() === 0;

async function until(done: () => boolean, ms = 5000): Promise<void> {
  for (const end = Date.now() + ms; !done() && Date.now() < end; ) await sleep(20);
}

describe.skipIf(!canPull)('a card that is pulled and put back', () => {
  it('is noticed within 2 s, taken up again when it returns, and plays on', async () => {
    const source = await openMidiSource('VirMIDI 0-0');
    if (!source.ok) throw new Error(source.problem.message);
    const events: PlayerEvent[] = [];
    source.value.start((event) => events.push(event));
    const play = (bytes: string) => execFileSync('amidi', ['-p', 'hw:0,0', '-S', bytes]);

    // A raw keyboard with running status; the release is a note-on of velocity 0.
    play('90 3C 40 3C 00');
    await until(() => events.length >= 2);
    expect(events.map((event) => event.type)).toEqual(['note-on', 'note-off']);

    for (let round = 1; round <= 2; round += 1) {
      events.length = 0;
      const pulled = monotonicMicros();
      execSync(`echo snd_virmidi.0 > ${CARD}/unbind`);
      await until(() => events.length > 0);
      expect(events).toEqual([
        { type: 'lost', at: expect.any(Number), reason: 'the instrument was unplugged' },
      ]);
      const noticedMs = (events[0]!.at - pulled) / 1000;
      expect(noticedMs).toBeLessThan(2000);

      const put = monotonicMicros();
      execSync(`echo snd_virmidi.0 > ${CARD}/bind`);
      await until(() => events.length > 1);
      expect(events.map((event) => event.type)).toEqual(['lost', 'found']);
      figure(`plug, round ${round}, ms`, { noticed: noticedMs, 'taken up': (events[1]!.at - put) / 1000 });

      play('90 3E 40 3E 00');
      await until(() => events.length >= 4);
      expect(events.slice(2)).toMatchObject([
        { type: 'note-on', pitch: 62 },
        { type: 'note-off', pitch: 62 },
      ]);
    }
    await source.value.close();
  });

  it('leaves the names of what is there, and no port of our own in the list', async () => {
    const inputs = await listInputs();
    if (!inputs.ok) throw new Error(inputs.problem.message);
    expect(inputs.value).toContain('Midi Through Port-0');
    expect(inputs.value.filter((name) => name.includes('RtMidi') || /\d+:\d+$/.test(name))).toEqual([]);
  });

  it('says in a sentence that a port is not there', async () => {
    expect(await openMidiSource('tuba')).toMatchObject({ ok: false, problem: { code: 'port.unknown' } });
    expect(await openMidiSource('VirMIDI')).toMatchObject({ ok: false, problem: { code: 'port.ambiguous' } });
  });
});
