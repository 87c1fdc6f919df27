// The passage's contour with what went wrong where, a row a day: letters, so that no colour is needed.

import { scaleLinear } from 'd3-scale';
import type { OnsetRange } from '../drills/step-onset.ts';
import { requiredNotes } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';
import { dayOf, type EntrySummary } from '../record/entry.ts';
import type { Table } from './page.ts';
import { line, PLOT, plotSvg, round, text } from './plot.ts';

/** s short, l long, w wrong, m missed, a added, b blip. */
const LETTERS: Readonly<Record<string, string>> = {
  wrong: 'w',
  missed: 'm',
  extra: 'a',
  blip: 'b',
  restart: 'a',
};
const WORDS: Readonly<Record<string, string>> = {
  s: 'too short',
  l: 'too long',
  w: 'wrong note',
  m: 'missed',
  a: 'added',
  b: 'blip',
};
const CONTOUR_HEIGHT = 110;
const ROW_HEIGHT = 18;
const MOST_DAYS = 21;

export const TROUBLE_LEGEND = Object.entries(WORDS)
  .map(([letter, words]) => `${letter} ${words}`)
  .join(', ');

export function troublePlot(
  passage: Passage,
  takes: readonly EntrySummary[],
  { first, last }: OnsetRange,
): { svg: string; table: Table } {
  const days = [...new Set(takes.map(dayOf))].sort().slice(-MOST_DAYS);
  const height = CONTOUR_HEIGHT + days.length * ROW_HEIGHT + PLOT.bottom;
  const x = scaleLinear([first - 0.5, last + 0.5], [PLOT.left + 40, PLOT.width - PLOT.right]);
  const onsets = passage.onsets.slice(first - 1, last);
  const tops = onsets.map((onset) => requiredNotes(onset).at(-1)?.pitch ?? 60);
  const y = scaleLinear([Math.min(...tops) - 1, Math.max(...tops) + 1], [CONTOUR_HEIGHT - 10, PLOT.top]);
  const counts = days.map((day) => troublesAt(takes.filter((take) => dayOf(take) === day)));
  const rows = days.flatMap((day, i) =>
    [...counts[i]!].flatMap(([onset, letters]) =>
      [...letters].map(([letter, times]) => [day, String(onset), WORDS[letter]!, String(times)]),
    ),
  );
  return {
    svg: plotSvg(
      `The contour of the passage and what went wrong where on ${days.length} days: ${rows.length} kinds of trouble, listed in the table`,
      [
        ...tops.map(
          (pitch, i) =>
            `<rect x="${round(x(first + i) - 5)}" y="${round(y(pitch) - 3)}" width="10" height="6" rx="3" fill="var(--ink)"/>`,
        ),
        ...days.flatMap((day, i) => {
          const at = CONTOUR_HEIGHT + (i + 0.5) * ROW_HEIGHT;
          return [
            line([PLOT.left + 40, at + ROW_HEIGHT / 2], [PLOT.width - PLOT.right, at + ROW_HEIGHT / 2]),
            text(PLOT.left + 32, at + 4, day.slice(5), 'end'),
            ...[...counts[i]!]
              .filter(([onset]) => onset >= first && onset <= last)
              .map(([onset, letters]) => text(x(onset), at + 4, commonest(letters), 'middle')),
          ];
        }),
        ...tops
          .map((_, i) => first + i)
          .filter((number) => (number - first) % Math.ceil(tops.length / 24) === 0)
          .map((number) => text(x(number), height - 14, String(number), 'middle')),
      ],
      height,
    ),
    table: { columns: ['day', 'onset', 'what', 'times'], rows },
  };
}

/** By onset, how often what went wrong there; an interval counts at the onset that it leads to. */
function troublesAt(takes: readonly EntrySummary[]): Map<number, Map<string, number>> {
  const counts = new Map<number, Map<string, number>>();
  const count = (onset: number, letter: string) => {
    const letters = counts.get(onset) ?? new Map<string, number>();
    counts.set(onset, letters.set(letter, (letters.get(letter) ?? 0) + 1));
  };
  for (const { verdict } of takes) {
    for (const { to, clean, deviationMicros } of verdict?.intervals ?? []) {
      if (!clean) count(to, deviationMicros < 0 ? 's' : 'l');
    }
    for (const { kind, onset } of verdict?.slips ?? []) {
      const letter = LETTERS[kind];
      if (letter) count(onset, letter);
    }
  }
  return new Map([...counts].sort(([a], [b]) => a - b));
}

function commonest(letters: ReadonlyMap<string, number>): string {
  return [...letters].sort((a, b) => b[1] - a[1])[0]![0];
}
