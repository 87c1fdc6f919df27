// Notices a hole in time: the machine slept, or the whole process was stopped. Either the monotonic clock jumped
// between two looks, or it stood still while the calendar went on (Linux and macOS stop it during sleep). A calendar
// set by hand by more than the allowance looks the same; the take that ends for it is kept. Microseconds.

/** A look this much later than planned is a hole: no ordinary load delays a thread so long. */
const ALLOWANCE_MICROS = 2_000_000;

export class SleepWatch {
  #monotonic: number;
  #calendar: number;

  constructor(monotonicMicros: number, calendarMicros: number) {
    this.#monotonic = monotonicMicros;
    this.#calendar = calendarMicros;
  }

  /** True when there was a hole since the last look, which was meant to be `plannedMicros` ago. */
  look(monotonicMicros: number, calendarMicros: number, plannedMicros: number): boolean {
    const passed = monotonicMicros - this.#monotonic;
    const passedByCalendar = calendarMicros - this.#calendar;
    this.#monotonic = monotonicMicros;
    this.#calendar = calendarMicros;
    return passed > plannedMicros + ALLOWANCE_MICROS || passedByCalendar - passed > ALLOWANCE_MICROS;
  }
}
