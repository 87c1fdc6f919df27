// Ports to which trouble comes: an instrument that is lost and found again, a disk that is full for a while.

import { RescuingRecord } from '../../src/devices/rescuing-record.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import type { Clock } from '../../src/ports/clock.ts';
import type { PlayerSource } from '../../src/ports/player-source.ts';
import { EXIT, ProblemError } from '../../src/problem.ts';
import type { Entry } from '../../src/record/entry.ts';
import { MemoryRecord } from '../../src/simulation/memory-record.ts';

export interface Absence {
  readonly fromMicros: number;
  readonly toMicros: number;
}

/** The source as it is heard while its cable is out at times. */
export function losing(source: PlayerSource, clock: Clock, absences: readonly Absence[]): PlayerSource {
  const away = () =>
    absences.some(
      ({ fromMicros, toMicros }) => clock.nowMicros() >= fromMicros && clock.nowMicros() < toMicros,
    );
  return {
    name: source.name,
    start(report: (event: PlayerEvent) => void): void {
      source.start((event) => {
        if (!away()) report(event);
      });
      for (const { fromMicros, toMicros } of absences) {
        clock.wakeAt(fromMicros, () => report({ type: 'lost', at: fromMicros, reason: 'its cable is out' }));
        clock.wakeAt(toMicros, () => report({ type: 'found', at: toMicros }));
      }
    },
    prompt: (prompt) => source.prompt(prompt),
    hush: (atMicros) => source.hush(atMicros),
    close: () => source.close(),
  };
}

/** A record on a disk that can be full. */
export class FullDiskRecord extends MemoryRecord {
  full = false;
  kept = 0;

  override append(entry: Entry): void {
    if (this.full) {
      throw new ProblemError({
        code: 'record.full',
        message: 'Cannot write the practice record: the disk is full',
        exitStatus: EXIT.record,
      });
    }
    super.append(entry);
    this.kept += 1;
  }
}

/** Counts what it is asked to keep. */
export class CountingRecord extends RescuingRecord {
  asked = 0;

  override append(entry: Entry): void {
    this.asked += 1;
    super.append(entry);
  }
}
