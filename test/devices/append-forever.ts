// Appends takes to the record at its argument and says each one's order once append has returned, until it is killed.

import { writeSync } from 'node:fs';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';

const opened = await openDatabaseRecord(process.argv[2]);
if (!opened.ok) throw new Error(opened.problem.message);
for (let order = 1; ; order += 1) {
  opened.value.append({
    format: 1,
    sitting: 'killed',
    order,
    date: '2026-11-23T18:00:00.000Z',
    passage: 'harbour-reel',
    first: 1,
    last: 8,
    drill: 'landings',
    step: 0,
    stepName: 'beats 1 to 2',
    tempoBpm: 72,
    toleranceName: 'steady',
    player: 'Ilse',
    source: 'Tidewrack keys',
    end: 'stopped',
    clean: true,
    sentence: 'Clean.',
    zeroMicros: 0,
    events: [{ type: 'note-on', at: order, pitch: 60, velocity: 70, channel: 1 }],
  });
  writeSync(1, `${order}\n`);
}
