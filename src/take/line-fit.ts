// Least squares by adding one column after another: what each would explain of what is left is known before it is
// added. Columns that are one step or one point need no vectors of their own, so that a long take stays quick.

/** What a deviation may look like along the observations: 1 at one of them, 1 from one of them on, or anything. */
export type Column =
  | { readonly at: number }
  | { readonly from: number }
  | { readonly values: ArrayLike<number> };

export class LineFit {
  readonly #orthonormal: Float64Array[];
  readonly #lengths: number[];
  readonly #columns: Float64Array[];
  readonly #given: Float64Array;
  readonly #left: Float64Array;

  /** A fit of what is given, or one that goes on from another as it stands. */
  constructor(given: readonly number[] | LineFit) {
    const isFit = given instanceof LineFit;
    this.#orthonormal = isFit ? given.#orthonormal.slice() : [];
    this.#lengths = isFit ? given.#lengths.slice() : [];
    this.#columns = isFit ? given.#columns.slice() : [];
    this.#given = isFit ? given.#given : Float64Array.from(given);
    this.#left = isFit ? given.#left.slice() : Float64Array.from(given);
  }

  /** Sum of the squares of what is left. */
  get rest(): number {
    return dot(this.#left, this.#left);
  }

  /** What is left at each observation. */
  get left(): readonly number[] {
    return [...this.#left];
  }

  /** The length of what each column says that those before it do not, in the order added. */
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
    return Array.from(this.#left, (left, i) => {
      let said = 0;
      for (const q of this.#orthonormal) said += q[i]! ** 2;
      const free = 1 - said;
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
      for (let k = 0; k < sums.length; k++) {
        sums[k]! += this.#orthonormal[k]![i]!;
        free -= sums[k]! ** 2;
      }
      gains[i] = free > FREE_LEAST ? along ** 2 / free : 0;
    }
    return gains;
  }

  /** How much there is of each of the columns added last, in the order added. */
  weightsOfLast(count: number): number[] {
    const from = this.#columns.length - count;
    const last = this.#orthonormal.slice(from);
    const wanted = last.map((q) => dot(q, this.#given));
    const weights = new Array<number>(count).fill(0);
    for (let k = count - 1; k >= 0; k--) {
      const column = this.#columns[from + k]!;
      weights[k] = wanted[k]! / dot(last[k]!, column);
      for (let j = 0; j < k; j++) wanted[j]! -= weights[k]! * dot(last[j]!, column);
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
  if ('values' in column)
    return column.values instanceof Float64Array ? column.values : Float64Array.from(column.values);
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
