// A clock that stands still until it is told to go on, and then jumps from wake-up to wake-up: minutes of practice
// pass in milliseconds, in the right order. Each callback finds the clock at its own exact instant.

import type { Clock } from '../ports/clock.ts';

interface WakeUp {
  readonly atMicros: number;
  readonly asked: number;
  readonly callback: () => void;
  cancelled: boolean;
}

/** The day the clock begins with unless told otherwise. */
const START = '2026-03-02T17:00:00.000Z';

export class SimulatedClock implements Clock {
  #nowMicros: number;
  #asked = 0;
  /** A binary heap: the next to come is the first. */
  readonly #heap: WakeUp[] = [];
  readonly #startMillis: number;
  readonly #originMicros: number;

  constructor(options: { readonly startMicros?: number; readonly startDate?: string } = {}) {
    this.#originMicros = options.startMicros ?? 0;
    this.#nowMicros = this.#originMicros;
    this.#startMillis = new Date(options.startDate ?? START).getTime();
  }

  nowMicros(): number {
    return this.#nowMicros;
  }

  date(): Date {
    return new Date(this.#startMillis + Math.floor((this.#nowMicros - this.#originMicros) / 1000));
  }

  wakeAt(atMicros: number, callback: () => void): () => void {
    const asked = this.#asked++;
    const wakeUp = { atMicros, asked, callback, cancelled: false };
    push(this.#heap, wakeUp);
    return () => {
      wakeUp.cancelled = true;
    };
  }

  /** The next wake-up that is not cancelled, if any: never before now. */
  nextMicros(): number | undefined {
    for (let first = this.#heap[0]; first !== undefined; first = this.#heap[0]) {
      if (!first.cancelled) return Math.max(first.atMicros, this.#nowMicros);
      pop(this.#heap);
    }
    return undefined;
  }

  /** Fires everything due up to and at a time, in order, ties in order of asking; then stands there. */
  advanceTo(micros: number): void {
    if (micros < this.#nowMicros) {
      throw new RangeError(`Cannot advance to ${micros} µs: the clock is at ${this.#nowMicros} µs`);
    }
    for (let next = this.nextMicros(); next !== undefined && next <= micros; next = this.nextMicros()) {
      this.#fire(next);
    }
    this.#nowMicros = micros;
  }

  /** Advances by so much. */
  advanceBy(micros: number): void {
    this.advanceTo(this.#nowMicros + micros);
  }

  /**
   * Fires everything until nobody waits any more, and stands at the last wake-up. Never past the limit (inclusive).
   * @returns true when nothing is left, false when the limit stopped it.
   */
  runUntilIdle(limitMicros: number): boolean {
    for (let next = this.nextMicros(); next !== undefined; next = this.nextMicros()) {
      if (next > limitMicros) return false;
      this.#fire(next);
    }
    return true;
  }

  #fire(atMicros: number): void {
    const wakeUp = pop(this.#heap)!;
    this.#nowMicros = atMicros;
    wakeUp.callback();
  }
}

function before(a: WakeUp, b: WakeUp): boolean {
  return a.atMicros < b.atMicros || (a.atMicros === b.atMicros && a.asked < b.asked);
}

function push(heap: WakeUp[], item: WakeUp): void {
  let at = heap.length;
  heap.push(item);
  while (at > 0) {
    const parent = (at - 1) >> 1;
    if (!before(item, heap[parent]!)) break;
    heap[at] = heap[parent]!;
    at = parent;
  }
  heap[at] = item;
}

function pop(heap: WakeUp[]): WakeUp | undefined {
  const first = heap[0];
  const last = heap.pop();
  if (last === undefined || heap.length === 0) return first;
  let at = 0;
  for (;;) {
    let child = 2 * at + 1;
    if (child >= heap.length) break;
    if (child + 1 < heap.length && before(heap[child + 1]!, heap[child]!)) child++;
    if (!before(heap[child]!, last)) break;
    heap[at] = heap[child]!;
    at = child;
  }
  heap[at] = last;
  return first;
}
