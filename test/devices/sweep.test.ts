import { constants, PerformanceObserver } from 'node:perf_hooks';
import { runInNewContext } from 'node:vm';
import { expect, it } from 'vitest';
import { openSweep } from '../../src/devices/sweep.ts';

/** The engine's own account of it, which the types do not have. */
interface Collection extends PerformanceEntry {
  readonly detail: { readonly kind: number };
}

it('frees what was made lately, at once, and leaves the collector to nobody else', async () => {
  const sweep = openSweep()!;
  const seen: { readonly from: number; readonly kind: unknown }[] = [];
  const observer = new PerformanceObserver((list) => {
    for (const entry of list.getEntries() as Collection[])
      seen.push({ from: entry.startTime, kind: entry.detail.kind });
  });
  observer.observe({ entryTypes: ['gc'] });
  const from = performance.now();
  sweep();
  const to = performance.now();
  await expect.poll(() => seen.filter((one) => one.from >= from && one.from <= to)).not.toEqual([]);
  observer.disconnect();
  const [first] = seen.filter((one) => one.from >= from && one.from <= to);
  expect(first!.kind).toBe(constants.NODE_PERFORMANCE_GC_MINOR);
  expect(runInNewContext('typeof gc')).toBe('undefined');
});
