import type { Strike } from './strike.ts';

/** One way of being heard. */
export interface ClickOutput {
  readonly leadMicros: number;
  start(strike: Strike): void;
  end(strike: Strike): void;
  /** A started strike is to be over at a time, which may be before it is heard. */
  cut(strike: Strike, atMicros: number): void;
  /** True once the device takes no more. */
  readonly lost?: boolean;
  /** Called on every turn. */
  tend?(): void;
  /** Lets everything go before it returns; the promise is for the device. */
  close(): void | Promise<void>;
}
