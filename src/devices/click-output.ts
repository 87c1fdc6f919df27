import type { TimedSound } from './timed-sound.ts';

/** One way of being heard. */
export interface ClickOutput {
  readonly leadMicros: number;
  start(timed: TimedSound): void;
  end(timed: TimedSound): void;
  /** Ends a sound that was started at a time, which may come before anything of it is heard. */
  cut(timed: TimedSound, atMicros: number): void;
  /** True once the device takes no more. */
  readonly lost?: boolean;
  /** Called on every turn. */
  tend?(): void;
  /** Lets everything go before it returns; the promise is for the device. */
  close(): void | Promise<void>;
}
