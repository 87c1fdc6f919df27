// The few robust statistics that judging needs, on plain lists. Empty lists give NaN, as a mean of nothing should.

export function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}

/** The middle value; of an even number, the mean of the two in the middle. */
export function median(values: readonly number[]): number {
  const rising = values.slice().sort((a, b) => a - b);
  const half = rising.length >> 1;
  return rising.length % 2 === 1 ? rising[half]! : (rising[half - 1]! + rising[half]!) / 2;
}

/** The value with half of the weight on either side (the lower one where two share the middle). */
export function weightedMedian(
  entries: readonly { readonly value: number; readonly weight: number }[],
): number {
  const rising = entries.slice().sort((a, b) => a.value - b.value);
  const half = rising.reduce((sum, e) => sum + e.weight, 0) / 2;
  let sum = 0;
  for (const { value, weight } of rising) {
    sum += weight;
    if (sum >= half) return value;
  }
  return Number.NaN;
}

/** Sample standard deviation (n - 1); 0 for a single value. */
export function sampleSd(values: readonly number[]): number {
  if (values.length < 2) return values.length === 1 ? 0 : Number.NaN;
  const middle = mean(values);
  return Math.sqrt(values.reduce((sum, v) => sum + (v - middle) ** 2, 0) / (values.length - 1));
}

/** The median distance from the median, scaled to a standard deviation (factor 1.4826 for the normal distribution). */
export function robustSd(values: readonly number[]): number {
  const middle = median(values);
  return 1.4826 * median(values.map((v) => Math.abs(v - middle)));
}

/**
 * Slope of y over x as the median of the slopes of pairs (Theil 1950, Sen 1968): up to 29 % of outliers do not move
 * it. Long lists are paired at a distance, so that the work grows with the length and not with its square.
 */
export function medianSlope(points: readonly { readonly x: number; readonly y: number }[]): number {
  const slopes: number[] = [];
  const all = points.length <= 64;
  for (let i = 0; i < points.length; i++) {
    for (let j = i + 1; j < points.length; j++) {
      if (!all && j - i !== points.length >> 1) continue;
      const dx = points[j]!.x - points[i]!.x;
      if (dx > 0) slopes.push((points[j]!.y - points[i]!.y) / dx);
    }
  }
  return slopes.length === 0 ? Number.NaN : median(slopes);
}
