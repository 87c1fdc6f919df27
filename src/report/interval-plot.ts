// Each interval's deviation with its spread, in the order of the music: above the line it came too long, below too short.

import { scaleLinear } from 'd3-scale';
import type { IntervalProgress } from '../coaching/progress.ts';
import { percent } from '../wording/figures.ts';
import type { Table } from './page.ts';
import { line, PLOT, plotSvg, round, text } from './plot.ts';

export function intervalPlot(
  intervals: readonly IntervalProgress[],
  nameOf: (from: number) => string,
): { svg: string; table: Table } {
  const timed = intervals
    .filter(({ meanMicros }) => meanMicros !== undefined)
    .toSorted((a, b) => a.from - b.from)
    .map((one) => ({ ...one, meanMs: one.meanMicros! / 1000, spreadMs: (one.spreadMicros ?? 0) / 1000 }));
  const most = Math.max(20, ...timed.map(({ meanMs, spreadMs }) => Math.abs(meanMs) + spreadMs));
  const x = scaleLinear(
    [(timed[0]?.from ?? 1) - 0.5, (timed.at(-1)?.from ?? 2) + 0.5],
    [PLOT.left, PLOT.width - PLOT.right],
  );
  const y = scaleLinear([-most, most], [PLOT.height - PLOT.bottom, PLOT.top]).nice(5);
  return {
    svg: plotSvg(
      `Deviation of ${timed.length} intervals in milliseconds, positive too long: ${timed.map(({ meanMs }) => Math.round(meanMs)).join(', ')}`,
      [
        ...y
          .ticks(5)
          .flatMap((ms) => [
            line([PLOT.left, y(ms)], [PLOT.width - PLOT.right, y(ms)]),
            text(PLOT.left - 6, y(ms) + 4, ms > 0 ? `+${ms}` : String(ms), 'end'),
          ]),
        line([PLOT.left, y(0)], [PLOT.width - PLOT.right, y(0)], 'stroke="var(--ink)"'),
        ...timed.flatMap(({ from, meanMs, spreadMs }) => [
          line(
            [x(from), y(meanMs - spreadMs)],
            [x(from), y(meanMs + spreadMs)],
            'stroke="var(--dim)" stroke-width="2"',
          ),
          `<circle cx="${round(x(from))}" cy="${round(y(meanMs))}" r="3.5" fill="var(--mark)"/>`,
        ]),
        ...timed
          .filter((_, i) => i % Math.ceil(timed.length / 24) === 0)
          .map(({ from }) => text(x(from), PLOT.height - PLOT.bottom + 18, String(from), 'middle')),
        text(PLOT.width - PLOT.right, PLOT.height - 4, 'onset where the interval begins', 'end'),
      ],
    ),
    table: {
      columns: [
        'interval',
        'onset',
        'takes',
        'went wrong',
        'lately',
        'ms too long (+) or short (-)',
        'spread, ms',
      ],
      rows: timed.map((one) => [
        nameOf(one.from),
        String(one.from),
        String(one.takes),
        percent(one.troubledShare),
        percent(one.laterShare),
        String(Math.round(one.meanMs)),
        String(Math.round(one.spreadMs)),
      ]),
    },
  };
}
