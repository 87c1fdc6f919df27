// The passage's contour with what went wrong where, a row a day or a pupil: letters, so that no colour is needed.

import { scaleLinear } from 'd3-scale';
import type { CountedTrouble, TroubleCounts } from '../coaching/trouble-counts.ts';
import type { OnsetRange } from '../drills/step-onset.ts';
import { requiredNotes } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';
import { counted } from '../wording/counted.ts';
import { textWidth } from '../wording/text-width.ts';
import type { Table } from './page.ts';
import { line, PLOT, plotSvg, round, text } from './plot.ts';

/** A letter stands for each. */
const WORDS: Readonly<Record<CountedTrouble, string>> = {
  short: 'too short',
  long: 'too long',
  wrong: 'wrong note',
  missed: 'missed',
  added: 'added',
  blip: 'blip',
};
const CONTOUR_HEIGHT = 110;
const ROW_HEIGHT = 18;
/** Width of a label's character. */
const LABEL_CELL = 7;

export const TROUBLE_LEGEND = Object.entries(WORDS)
  .map(([trouble, words]) => `${trouble[0]} ${words}`)
  .join(', ');

/** A row: a day, or a pupil. */
export interface TroubleRow {
  /** Short: it stands before the row. */
  readonly label: string;
  readonly troubles: TroubleCounts;
}

/** `what`: what a row is of, "day". */
export function troublePlot(
  passage: Passage,
  given: readonly TroubleRow[],
  { first, last }: OnsetRange,
  what: string,
): { svg: string; table: Table } {
  const widest = Math.max(...given.map(({ label }) => textWidth(label)), 0);
  const left = Math.max(PLOT.left + 40, widest * LABEL_CELL + 16);
  const height = CONTOUR_HEIGHT + given.length * ROW_HEIGHT + PLOT.bottom;
  const x = scaleLinear([first - 0.5, last + 0.5], [left, PLOT.width - PLOT.right]);
  const onsets = passage.onsets.slice(first - 1, last);
  const tops = onsets.map((onset) => requiredNotes(onset).at(-1)?.pitch ?? 60);
  const y = scaleLinear([Math.min(...tops) - 1, Math.max(...tops) + 1], [CONTOUR_HEIGHT - 10, PLOT.top]);
  const inside = given.map(({ label, troubles }) => ({
    label,
    troubles: [...troubles].filter(([onset]) => onset >= first && onset <= last),
  }));
  const rows = inside.flatMap(({ label, troubles }) =>
    troubles.flatMap(([onset, counts]) =>
      [...counts].map(([trouble, times]) => [label, String(onset), WORDS[trouble], String(times)]),
    ),
  );
  return {
    svg: plotSvg(
      `The contour of the passage and what went wrong where in ${counted(given.length, 'row')}, one a ${what}: ${rows.length} kinds of trouble, listed in the table`,
      [
        ...tops.map(
          (pitch, i) =>
            `<rect x="${round(x(first + i) - 5)}" y="${round(y(pitch) - 3)}" width="10" height="6" rx="3" fill="var(--ink)"/>`,
        ),
        ...inside.flatMap(({ label, troubles }, i) => {
          const at = CONTOUR_HEIGHT + (i + 0.5) * ROW_HEIGHT;
          return [
            line([left, at + ROW_HEIGHT / 2], [PLOT.width - PLOT.right, at + ROW_HEIGHT / 2]),
            text(left - 8, at + 4, label, 'end'),
            ...troubles.map(([onset, counts]) => text(x(onset), at + 4, commonest(counts)[0]!, 'middle')),
          ];
        }),
        ...tops
          .map((_, i) => first + i)
          .filter((number) => (number - first) % Math.ceil(tops.length / 24) === 0)
          .map((number) => text(x(number), height - 14, String(number), 'middle')),
      ],
      height,
    ),
    table: { columns: [what, 'onset', 'what', 'times'], rows },
  };
}

function commonest(counts: ReadonlyMap<CountedTrouble, number>): CountedTrouble {
  return [...counts].sort((a, b) => b[1] - a[1])[0]![0];
}
