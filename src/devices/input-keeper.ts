// Keeps one MIDI input open through everything that happens to it: stamps what comes, notices when the device is gone
// (the driver never says so: its name leaves the list), when active sensing falls silent, and when time has a hole,
// and takes the same device up again when it returns. Lives in the input worker; told the time, so that it can be
// tested without one. Times are integer microseconds on the session's clock.

import { ok, type Result } from '../problem.ts';
import type { MidiDriver, OpenInput } from './midi-driver.ts';
import { ACTIVE_SENSING } from './midi-message.ts';
import { MidiStamps } from './midi-stamps.ts';
import { bareName } from './port-name.ts';
import { SleepWatch } from './sleep-watch.ts';

export type InputReport =
  | { readonly type: 'message'; readonly at: number; readonly bytes: readonly number[] }
  | { readonly type: 'lost'; readonly at: number; readonly reason: string }
  | { readonly type: 'found'; readonly at: number };

export interface KeeperTime {
  monotonicMicros(): number;
  calendarMicros(): number;
}

/** How often look() wants to be called. */
export const LOOK_MICROS = 100_000;
/** Listing the ports costs about 1 ms: once in this many looks, so that a pulled plug is noticed within a second. */
const LOOKS_PER_LISTING = 8;
/**
 * MIDI 1.0: once active sensing has been heard, more than 300 ms without any message means that the sender is gone.
 * Senders that keep to just 300 ms exist, and our thread may be late itself: a third more is allowed.
 */
const SENSING_MICROS = 400_000;

export class InputKeeper {
  readonly #driver: MidiDriver;
  readonly #time: KeeperTime;
  readonly #report: (report: InputReport) => void;
  /** True for a driver's name that another keeper holds: of two equal devices each keeps its own. */
  readonly #isTaken: (raw: string) => boolean;
  #raw: string;
  #input: OpenInput | undefined;
  #sleep: SleepWatch;
  #looks = 0;
  #heardMicros = 0;
  #sensing = false;
  #silent = false;

  constructor(
    raw: string,
    {
      driver,
      time,
      report,
      isTaken,
    }: {
      driver: MidiDriver;
      time: KeeperTime;
      report: (report: InputReport) => void;
      isTaken: (raw: string) => boolean;
    },
  ) {
    this.#raw = raw;
    this.#driver = driver;
    this.#time = time;
    this.#report = report;
    this.#isTaken = isTaken;
    this.#sleep = new SleepWatch(time.monotonicMicros(), time.calendarMicros());
  }

  /** The driver's name that is held now; undefined while the device is away. */
  get held(): string | undefined {
    return this.#input ? this.#raw : undefined;
  }

  open(): Result<void> {
    const stamps = new MidiStamps();
    const opened = this.#driver.openInput(this.#raw, (deltaSeconds, bytes) => {
      const now = this.#time.monotonicMicros();
      this.#take(bytes, stamps.stamp(deltaSeconds, now), now);
    });
    if (!opened.ok) return opened;
    this.#input = opened.value;
    this.#sensing = false;
    this.#silent = false;
    return ok(undefined);
  }

  /** Looks after the input; to be called every LOOK_MICROS. */
  look(): void {
    const now = this.#time.monotonicMicros();
    const hole = this.#sleep.look(now, this.#time.calendarMicros(), LOOK_MICROS);
    if (hole && this.#input) this.#lose(now, 'the machine was asleep or stopped: what was played is lost');
    if (this.#sensing && !this.#silent && now - this.#heardMicros > SENSING_MICROS) {
      this.#silent = true;
      this.#report({ type: 'lost', at: now, reason: 'the instrument has gone silent (cable or power?)' });
    }
    this.#looks += 1;
    if (this.#looks % LOOKS_PER_LISTING !== 0) return;
    const names = this.#driver.portNames('input');
    if (this.#input && !names.includes(this.#raw)) this.#lose(now, 'the instrument was unplugged');
    else if (!this.#input) this.#takeUp(names);
  }

  close(): void {
    this.#input?.destroy();
    this.#input = undefined;
  }

  #take(bytes: number[], at: number, now: number): void {
    this.#heardMicros = now;
    if (this.#silent) {
      this.#silent = false;
      this.#report({ type: 'found', at });
    }
    if (bytes[0] === ACTIVE_SENSING) this.#sensing = true;
    else this.#report({ type: 'message', at, bytes });
  }

  #lose(now: number, reason: string): void {
    this.close();
    this.#sensing = false;
    if (!this.#silent) this.#report({ type: 'lost', at: now, reason });
    this.#silent = false;
  }

  #takeUp(names: readonly string[]): void {
    const free = names.filter((raw) => bareName(raw) === bareName(this.#raw) && !this.#isTaken(raw));
    const raw = free.find((name) => name === this.#raw) ?? free[0];
    if (raw === undefined) return;
    this.#raw = raw;
    if (this.open().ok) this.#report({ type: 'found', at: this.#time.monotonicMicros() });
  }
}
