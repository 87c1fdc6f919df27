// Sounds ten notes, the player's own as they come or a step's to be heard first; leaves the last one held; prints when
// each was played. sound-notes.ts own|heard

import { monotonicMicros } from '../../src/devices/system-clock.ts';
import { openWorkerClick } from '../../src/devices/worker-click.ts';
import { sleep } from '../alsa/sequencer.ts';

const click = await openWorkerClick({ sound: 'default', loudness: 1 });
if (!click.ok) throw new Error(click.problem.message);
const times: number[] = [];
await sleep(1_000);
const zero = monotonicMicros() + 500_000;
const planned = Array.from({ length: 10 }, (_, i) => zero + i * 313_000);
if (process.argv[2] === 'heard') {
  times.push(...planned);
  const notes = planned.map((atMicros, i) => ({
    atMicros,
    durationMicros: i === 9 ? 60e6 : 150_000,
    pitch: 84,
    velocity: 120,
  }));
  click.value.scheduleNotes(notes);
  await sleep(500 + 9 * 313 + 300);
} else {
  for (let i = 0; i < 10; i += 1) {
    const at = monotonicMicros();
    times.push(at);
    click.value.soundOwn({ type: 'note-on', at, pitch: 84, velocity: 120, channel: 1 });
    await sleep(150);
    if (i < 9) click.value.soundOwn({ type: 'note-off', at: monotonicMicros(), pitch: 84, channel: 1 });
    await sleep(163);
  }
}
await click.value.close();
console.log(JSON.stringify({ times, endedMicros: monotonicMicros() }));
