// Where the onsets stood against the click. The constant part (the instrument, its sound, the habit of tapping a
// little ahead: Repp 2005 has 20 to 80 ms) is a property of the player and the gear, so it is taken out and reported apart.

import type { Expectation } from '../matching/expectation.ts';
import { microsAt } from '../music/timing.ts';
import { median, medianSlope, sampleSd } from '../statistics.ts';
import type { Placement } from './verdict.ts';

/** Undefined without a click or when nothing was played rightly. Where the click's zero is unknown so is the lag. */
export function placementOf(
  expectation: Expectation,
  onsetMicros: readonly (number | undefined)[],
): Placement | undefined {
  if (expectation.pulse !== 'click') return undefined;
  const atMicros = expectation.onsets.map((o) => microsAt(expectation, o.tick));
  const raw = onsetMicros.map((t, i) => (t === undefined ? undefined : t - atMicros[i]!));
  const known = raw.filter((t) => t !== undefined);
  if (known.length === 0) return undefined;
  const middle = Math.round(median(known));
  const offsetsMicros = raw.map((t) => (t === undefined ? undefined : t - middle));
  const points = offsetsMicros.flatMap((y, i) => (y === undefined ? [] : [{ x: atMicros[i]! / 1e6, y }]));
  const drift = medianSlope(points);
  return {
    ...(expectation.zeroMicros === undefined ? {} : { lagMicros: middle - expectation.zeroMicros }),
    spreadMicros: sampleSd(points.map((p) => p.y)),
    driftMicrosPerSecond: Number.isNaN(drift) ? 0 : drift,
    offsetsMicros,
  };
}
