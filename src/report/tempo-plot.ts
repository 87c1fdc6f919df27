// The clean tempo by day, with the goal and the way there.

import { scaleLinear } from 'd3-scale';
import { area, line as lineShape } from 'd3-shape';
import { dateOf, dayNumber } from '../coaching/due.ts';
import type { Outlook } from '../coaching/outlook.ts';
import type { CountedDay, DayOfPractice } from '../coaching/progress.ts';
import { percent } from '../wording/figures.ts';
import type { Table } from './page.ts';
import { line, PLOT, plotSvg, round, text } from './plot.ts';

export function tempoPlot(
  days: readonly DayOfPractice[],
  { goal, forecast }: Outlook,
): { svg: string; table: Table } {
  const goalDay = goal ? dayNumber(goal.by) : undefined;
  const known = days.flatMap((day) => [day.inPiecesBpm ?? [], day.inOneGoBpm ?? []].flat());
  const tempi = [
    ...known,
    ...(goal ? [goal.tempoBpm] : []),
    ...(forecast ? [forecast.highBpm, forecast.lowBpm] : []),
  ];
  const firstDay = days[0]?.day ?? 0;
  const lastDay = Math.max(firstDay + 1, days.at(-1)?.day ?? 0, goalDay ?? 0);
  const x = scaleLinear([firstDay, lastDay], [PLOT.left, PLOT.width - PLOT.right]);
  const y = scaleLinear(
    [Math.min(...tempi, 200) * 0.9, Math.max(...tempi, 60) * 1.05],
    [PLOT.height - PLOT.bottom, PLOT.top],
  ).nice(5);
  const pieces = days.flatMap((day) =>
    day.inPiecesBpm === undefined ? [] : [{ day: day.day, bpm: day.inPiecesBpm }],
  );
  const wholes = days.flatMap((day) =>
    day.inOneGoBpm === undefined ? [] : [{ day: day.day, bpm: day.inOneGoBpm }],
  );
  const path = lineShape<{ day: number; bpm: number }>(
    (point) => x(point.day),
    (point) => y(point.bpm),
  );
  const last = pieces.at(-1);
  const cone =
    forecast && last && goalDay !== undefined
      ? area<{ day: number; low: number; high: number }>(
          (point) => x(point.day),
          (point) => y(point.low),
          (point) => y(point.high),
        )([
          { day: last.day, low: last.bpm, high: last.bpm },
          { day: goalDay, low: forecast.lowBpm, high: forecast.highBpm },
        ])
      : null;
  const ticks = [...new Set(x.ticks(6).map(Math.round))];
  const svg = plotSvg(
    `Clean tempo by day, from ${dateOf(firstDay)}: ${pieces.map(({ bpm }) => Math.round(bpm)).join(', ')}`,
    [
      ...y
        .ticks(5)
        .flatMap((bpm) => [
          line([PLOT.left, y(bpm)], [PLOT.width - PLOT.right, y(bpm)]),
          text(PLOT.left - 6, y(bpm) + 4, String(bpm), 'end'),
        ]),
      ...ticks.map((day) => text(x(day), PLOT.height - PLOT.bottom + 18, dateOf(day).slice(5), 'middle')),
      ...(cone ? [`<path d="${cone}" fill="var(--band)"/>`] : []),
      ...(goal
        ? [
            line(
              [PLOT.left, y(goal.tempoBpm)],
              [PLOT.width - PLOT.right, y(goal.tempoBpm)],
              'stroke="var(--other)" stroke-dasharray="6 4"',
            ),
            text(PLOT.width - PLOT.right, y(goal.tempoBpm) - 6, `goal ${goal.tempoBpm}`, 'end'),
          ]
        : []),
      `<path d="${path(pieces) ?? ''}" fill="none" stroke="var(--mark)" stroke-width="2"/>`,
      ...pieces.map(
        ({ day, bpm }) => `<circle cx="${round(x(day))}" cy="${round(y(bpm))}" r="4" fill="var(--mark)"/>`,
      ),
      ...wholes.map(
        ({ day, bpm }) =>
          `<rect x="${round(x(day) - 4)}" y="${round(y(bpm) - 4)}" width="8" height="8" fill="none" stroke="var(--ink)" stroke-width="1.5"/>`,
      ),
    ],
  );
  return {
    svg,
    table: {
      columns: ['day', 'every interval clean at', 'in one go at', 'takes', 'clean'],
      rows: days.map((day) => [
        dateOf(day.day),
        day.inPiecesBpm === undefined ? '-' : String(Math.round(day.inPiecesBpm)),
        day.inOneGoBpm === undefined ? '-' : String(Math.round(day.inOneGoBpm)),
        String(day.takes),
        day.cleanShare === undefined ? '-' : percent(day.cleanShare),
      ]),
    },
  };
}

/** Share of complete takes that were clean, a bar a day. */
export function sharePlot(days: readonly CountedDay[]): { svg: string; table: Table } {
  const shown = days.flatMap(({ day, cleanShare, takes }) =>
    cleanShare === undefined ? [] : [{ day, cleanShare, takes }],
  );
  const height = 180;
  const x = scaleLinear(
    [(shown[0]?.day ?? 0) - 0.6, (shown.at(-1)?.day ?? 1) + 0.6],
    [PLOT.left, PLOT.width - PLOT.right],
  );
  const y = scaleLinear([0, 1], [height - PLOT.bottom, PLOT.top]);
  const bar = Math.min(28, (x(1) - x(0)) * 0.8);
  return {
    svg: plotSvg(
      `Share of clean takes by day: ${shown.map(({ cleanShare }) => percent(cleanShare)).join(', ')}`,
      [
        ...[0, 0.5, 1].flatMap((share) => [
          line([PLOT.left, y(share)], [PLOT.width - PLOT.right, y(share)]),
          text(PLOT.left - 6, y(share) + 4, percent(share), 'end'),
        ]),
        ...shown.map(
          ({ day, cleanShare }) =>
            `<rect x="${round(x(day) - bar / 2)}" y="${round(y(cleanShare))}" width="${round(bar)}" height="${round(y(0) - y(cleanShare))}" fill="var(--mark)"/>`,
        ),
        ...[...new Set(x.ticks(6).map(Math.round))].map((day) =>
          text(x(day), height - PLOT.bottom + 18, dateOf(day).slice(5), 'middle'),
        ),
      ],
      height,
    ),
    table: {
      columns: ['day', 'takes', 'clean'],
      rows: shown.map(({ day, takes, cleanShare }) => [dateOf(day), String(takes), percent(cleanShare)]),
    },
  };
}
