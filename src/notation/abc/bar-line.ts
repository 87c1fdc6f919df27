// Bar lines of ABC: "|", "||", "|]", "[|", ":|", "|:", "::", ":|]", ".|" and all their liberal mixtures (ABC 2.1,
// 4.8: "abc parsers should be quite liberal in recognizing bar lines"), with the number of an ending behind.

export interface BarLine {
  /** Characters used. */
  readonly length: number;
  /** How often the section that ends here is played; absent: no repeat ends. */
  readonly repeatTimes?: number;
  readonly repeatStart: boolean;
  /** Anything but a single thin line: a section may end here. */
  readonly strong: boolean;
  /** Double or thick: a repeat without a start goes back to here. */
  readonly section: boolean;
  /** Dotted or invisible: parts a bar only where the bar is full. */
  readonly faint: boolean;
  readonly endings?: readonly number[];
}

/** A single bar line, and the end of a tune that has none. */
export const THIN_LINE: BarLine = {
  length: 0,
  repeatStart: false,
  strong: false,
  section: false,
  faint: false,
};
export const FINAL_LINE: BarLine = { ...THIN_LINE, strong: true };

const ENDINGS = /^(?:\d{1,2}(?:-\d{1,2})?)(?:,\d{1,2}(?:-\d{1,2})?)*/;

/** The bar line at `at`, or undefined where there is none. */
export function readBarLine(text: string, at: number): BarLine | undefined {
  const m = /^(?:\.?(?=[|:])|\[(?=\|))(?:[|:]|\](?<=[|:]\])|\[(?=\|))*/.exec(text.slice(at, at + 40));
  const run = m?.[0] ?? '';
  if (run === '' || run === '.' || run === ':') return endingAlone(text, at);
  if (!run.includes('|') && !run.includes('::')) return undefined;
  const before = /^[^|:]*(:+)[|[]/.exec(run)?.[1]?.length ?? 0;
  const after = /[|\]](:+)$/.exec(run)?.[1]?.length ?? 0;
  const both = /^:{2,}$/.test(run) ? Math.floor(run.length / 2) : 0;
  const ends = before || both;
  const starts = after || both;
  const lines = run.replace(/[^|[\]]/g, '');
  const endings = readEndings(text, at + run.length);
  return {
    length: run.length + (endings?.length ?? 0),
    ...(ends > 0 && { repeatTimes: Math.min(ends, 20) + 1 }),
    repeatStart: starts > 0,
    strong: ends > 0 || starts > 0 || lines.length > 1,
    section: lines.length > 1 && lines !== '[|]' && ends === 0 && starts === 0,
    faint: run.startsWith('.') || run === '[|]',
    ...(endings && { endings: endings.numbers }),
  };
}

/** "[1" behind a bar line and a space, or at the start of a line. */
function endingAlone(text: string, at: number): BarLine | undefined {
  if (text[at] !== '[' || !/\d/.test(text[at + 1] ?? '')) return undefined;
  const endings = readEndings(text, at);
  return endings && { ...THIN_LINE, length: endings.length, endings: endings.numbers };
}

function readEndings(text: string, at: number): { length: number; numbers: number[] } | undefined {
  const bracket = text[at] === '[' ? 1 : 0;
  const m = ENDINGS.exec(text.slice(at + bracket, at + bracket + 40));
  if (!m) return undefined;
  const numbers = m[0].split(',').flatMap((item) => {
    const [from = 0, to = from] = item.split('-').map(Number);
    return Array.from({ length: Math.max(0, to - from + 1) }, (_, i) => from + i);
  });
  return { length: bracket + m[0].length, numbers };
}
