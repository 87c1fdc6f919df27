// Starts three long notes over MIDI and ends in the way its argument says, without letting them go itself.

import { monotonicMicros } from '../../src/devices/system-clock.ts';
import { openWorkerClick } from '../../src/devices/worker-click.ts';

const click = await openWorkerClick({ midi: 'Midi Through' });
if (!click.ok) throw new Error(click.problem.message);
const now = monotonicMicros();
click.value.scheduleNotes(
  [60, 64, 67].map((pitch) => ({ atMicros: now, durationMicros: 600e6, pitch, velocity: 80 })),
);
await new Promise((done) => setTimeout(done, 500));
if (process.argv[2] === 'throw') throw new Error('the screen broke');
if (process.argv[2] === 'exit') process.exit(3);
