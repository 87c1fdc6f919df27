// The sustain pedal. A note let go while it is down sounds on, so its release does not say how it is joined to the next.

/** Controller 64 of MIDI 1.0: 0 to 63 is up, 64 to 127 down. */
export interface PedalChange {
  readonly atMicros: number;
  readonly value: number;
}

export const SUSTAIN_CONTROLLER = 64;

/** What the pedal did among all that an instrument sent. */
export function pedalChanges(
  events: readonly {
    readonly type: string;
    readonly at: number;
    readonly number?: number;
    readonly value?: number;
  }[],
): PedalChange[] {
  return events.flatMap(({ type, at, number, value }) =>
    type === 'controller' && number === SUSTAIN_CONTROLLER && value !== undefined
      ? [{ atMicros: at, value }]
      : [],
  );
}

const DOWN_FROM = 64;

export function isPedalDown(value: number): boolean {
  return value >= DOWN_FROM;
}

/** Whether the pedal was down at a moment; `changes` in the order of time. Before the first of them it is up. */
export function pedalDownAt(changes: readonly PedalChange[], atMicros: number): boolean {
  const last = changes.findLast((change) => change.atMicros <= atMicros);
  return last !== undefined && isPedalDown(last.value);
}
