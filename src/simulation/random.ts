// Chance that can be repeated: PCG32 (XSH-RR, 64-bit state, 32-bit output), O'Neill 2014, "PCG: a family of simple
// fast space-efficient statistically good algorithms for random number generation", HMC-CS-2014-0905, section 6.3.1.
// The 64-bit state is kept as two 32-bit halves, because BigInt is some thirty times slower.

const MULTIPLIER_HIGH = 0x5851f42d;
const MULTIPLIER_LOW = 0x4c957f2d;

export class Random {
  #high = 0;
  #low = 0;
  readonly #incrementHigh: number;
  readonly #incrementLow: number;

  /**
   * @param seed Integer, 0 or more; up to 2^53.
   * @param stream Integer, 0 or more: generators of one seed and different streams are independent.
   */
  constructor(seed: number, stream = 0) {
    this.#incrementHigh = Math.floor((stream * 2 + 1) / 2 ** 32) >>> 0;
    this.#incrementLow = (stream * 2 + 1) >>> 0;
    this.#step();
    this.#add(Math.floor(seed / 2 ** 32) >>> 0, seed >>> 0);
    this.#step();
  }

  /** Integer, 0 to 2^32 - 1. */
  bits32(): number {
    const high = this.#high;
    const low = this.#low;
    this.#step();
    // ((state >> 18) ^ state) >> 27, the low 32 bits of it, turned right by the top five bits.
    const mixedHigh = (high ^ (high >>> 18)) >>> 0;
    const mixedLow = (low ^ ((low >>> 18) | (high << 14))) >>> 0;
    const word = ((mixedLow >>> 27) | (mixedHigh << 5)) >>> 0;
    const turn = high >>> 27;
    return ((word >>> turn) | (word << (-turn & 31))) >>> 0;
  }

  /** 0 inclusive to 1 exclusive, 32 bits fine. */
  unit(): number {
    return this.bits32() / 2 ** 32;
  }

  /** Lower end inclusive, upper end exclusive. */
  between(low: number, high: number): number {
    return low + (high - low) * this.unit();
  }

  /** Integer, both ends inclusive. */
  integer(low: number, high: number): number {
    return low + Math.floor((high - low + 1) * this.unit());
  }

  /** True with the given chance, 0 (never) to 1 (always). */
  chance(probability: number): boolean {
    return this.unit() < probability;
  }

  /** One of several; the list may not be empty. */
  pick<T>(from: readonly T[]): T {
    return from[this.integer(0, from.length - 1)]!;
  }

  /** One of several by weight: chances are in proportion to the weights, of which one is over 0. */
  pickByWeight<T>(from: readonly (readonly [item: T, weight: number])[]): T {
    let left = this.unit() * from.reduce((sum, [, weight]) => sum + weight, 0);
    for (const [item, weight] of from) {
      left -= weight;
      if (left < 0) return item;
    }
    return from.findLast(([, weight]) => weight > 0)![0];
  }

  /** Normally distributed, by Box & Muller 1958 (Ann. Math. Statist. 29:610), the cosine half; always two draws. */
  normal(mean: number, sd: number): number {
    const radius = Math.sqrt(-2 * Math.log(1 - this.unit()));
    return mean + sd * radius * Math.cos(2 * Math.PI * this.unit());
  }

  #step(): void {
    // 64-bit multiplication by parts: the low product in full, of the cross products the low halves.
    const a0 = this.#low & 0xffff;
    const a1 = this.#low >>> 16;
    const b0 = MULTIPLIER_LOW & 0xffff;
    const b1 = MULTIPLIER_LOW >>> 16;
    const middle = a1 * b0 + Math.floor((a0 * b0) / 2 ** 16);
    const middleLow = (middle % 2 ** 16) + a0 * b1;
    const carry = a1 * b1 + Math.floor(middle / 2 ** 16) + Math.floor(middleLow / 2 ** 16);
    const high =
      (carry + Math.imul(this.#high, MULTIPLIER_LOW) + Math.imul(this.#low, MULTIPLIER_HIGH)) >>> 0;
    this.#low = Math.imul(this.#low, MULTIPLIER_LOW) >>> 0;
    this.#high = high;
    this.#add(this.#incrementHigh, this.#incrementLow);
  }

  #add(high: number, low: number): void {
    const sum = this.#low + low;
    this.#low = sum >>> 0;
    this.#high = (this.#high + high + (sum >= 2 ** 32 ? 1 : 0)) >>> 0;
  }
}
