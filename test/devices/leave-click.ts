// Opens a click and ends without closing it, in the way its argument says.

import { need } from '../../src/commands/usage-problem.ts';
import { monotonicMicros } from '../../src/devices/system-clock.ts';
import { openWorkerClick } from '../../src/devices/worker-click.ts';

const click = need(await openWorkerClick({ sound: 'none' }));
click.scheduleNotes([{ atMicros: monotonicMicros(), durationMicros: 9e9, pitch: 60, velocity: 80 }]);
if (process.argv[2] === 'throw') throw new Error('the screen broke');
