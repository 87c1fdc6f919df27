// Least squares by adding one column after another: what each would explain of what is left is known before it is
// added. Columns that are one step or one point need no vectors of their own, so that a long take stays quick.

/** What a deviation may look like along the observations: 1 at one of them, 1 from one of them on, or anything. */
export type Column =
  | { readonly at: number }
  | { readonly from: number }
  | { readonly values: readonly number[] };

export class LineFit {
  readonly #orthonormal: Float64Array[] = [];
  readonly #lengths: number[] = [];
  readonly #columns: Float64Array[] = [];
  readonly #given: Float64Array;
  #left: Float64Array;

  constructor(given: readonly number[]) {
    this.#given = Float64Array.from(given);
    this.#left = Float64Array.from(given);
  }

  /** Sum of the squares of what is left. */
  get rest(): number {
    return dot(this.#left, this.#left);
  }

  /** What is left at each observation. */
  get left(): readonly number[] {
    return [...this.#left];
  }

  /** What of each column those before it do not say already, as a length, in the order added. */
  get lengths(): readonly number[] {
    return this.#lengths;
  }

  /** False where the columns before it already say the same. */
  add(column: Column): boolean {
    const vector = vectorOf(column, this.#given.length);
    const unit = this.#orthogonal(vector);
    if (!unit) return false;
    this.#columns.push(vector);
    this.#orthonormal.push(unit);
    this.#lengths.push(dot(unit, vector));
    const along = dot(unit, this.#left);
    for (let i = 0; i < unit.length; i++) this.#left[i]! -= along * unit[i]!;
    return true;
  }

  /** By how much a column would lower `rest`. */
  gain(column: Column): number {
    const unit = this.#orthogonal(vectorOf(column, this.#given.length));
    return unit ? dot(unit, this.#left) ** 2 : 0;
  }

  /** The gains of all columns of one point, by the point. */
  pointGains(): number[] {
    return [...this.#left].map((left, i) => {
      const free = 1 - this.#orthonormal.reduce((sum, q) => sum + q[i]! ** 2, 0);
      return free > FREE_LEAST ? left ** 2 / free : 0;
    });
  }

  /** The gains of all columns of one step, by where it begins. */
  stepGains(): number[] {
    const n = this.#given.length;
    const gains = new Array<number>(n).fill(0);
    const sums = this.#orthonormal.map(() => 0);
    let along = 0;
    for (let i = n - 1; i > 0; i--) {
      along += this.#left[i]!;
      let free = n - i;
      for (const [k, q] of this.#orthonormal.entries()) {
        sums[k]! += q[i]!;
        free -= sums[k]! ** 2;
      }
      gains[i] = free > FREE_LEAST ? along ** 2 / free : 0;
    }
    return gains;
  }

  /** How much there is of each column, in the order added. */
  weights(): number[] {
    const weights = this.#columns.map(() => 0);
    let wanted = this.#orthonormal.map((q) => dot(q, this.#given));
    for (let k = this.#columns.length - 1; k >= 0; k--) {
      const column = this.#columns[k]!;
      weights[k] = wanted[k]! / dot(this.#orthonormal[k]!, column);
      wanted = wanted.map((w, j) => w - weights[k]! * dot(this.#orthonormal[j]!, column));
    }
    return weights;
  }

  #orthogonal(vector: Float64Array): Float64Array | undefined {
    const unit = vector.slice();
    const length = Math.sqrt(dot(vector, vector));
    // Twice: once alone leaves rounding errors where columns are nearly alike.
    for (let pass = 0; pass < 2; pass++) {
      for (const q of this.#orthonormal) {
        const along = dot(q, unit);
        for (let i = 0; i < unit.length; i++) unit[i]! -= along * q[i]!;
      }
    }
    const rest = Math.sqrt(dot(unit, unit));
    if (rest <= Math.sqrt(FREE_LEAST) * Math.max(length, Number.MIN_VALUE)) return undefined;
    for (let i = 0; i < unit.length; i++) unit[i]! /= rest;
    return unit;
  }
}

/** A column that is so far (a share of its square) explained by others says nothing of its own. */
const FREE_LEAST = 1e-6;

function vectorOf(column: Column, length: number): Float64Array {
  if ('values' in column) return Float64Array.from(column.values);
  const vector = new Float64Array(length);
  if ('at' in column) vector[column.at] = 1;
  else vector.fill(1, column.from);
  return vector;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
