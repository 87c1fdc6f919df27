// A rehearsal of a section as a page: how far apart it was take by take, who leads, where it comes apart.

import { scaleLinear } from 'd3-scale';
import { beatGrid } from '../drills/beat-grid.ts';
import { placeName } from '../drills/place-name.ts';
import type { Passage } from '../music/passage.ts';
import type { SectionReport } from '../session/section-report.ts';
import { mean } from '../statistics.ts';
import { counted } from '../wording/counted.ts';
import { sectionSentence } from '../wording/section.ts';
import { htmlPage, type PageSection } from './page.ts';
import { line, PLOT, plotSvg, round, text } from './plot.ts';

export interface Rehearsal {
  readonly section: string;
  /** The local day. */
  readonly day: string;
  readonly passage: Passage;
  readonly takes: readonly SectionReport[];
}

export function sectionPage(rehearsal: Rehearsal): string {
  const { section, day, passage, takes } = rehearsal;
  const clean = takes.filter(({ verdict }) => verdict.clean).length;
  return htmlPage(
    {
      title: `${section}: ${passage.title}`,
      subtitle: `${day}, ${counted(takes.length, 'take')}, ${clean} clean`,
      foot: 'Apart: the standard deviation of the differences between players, over all pairs (Rasch 1979). Plus is late. A constant lead may be the set-up, where it was not calibrated.',
    },
    takes.length === 0
      ? []
      : [asynchronySection(takes), leadSection(takes), placeSection(rehearsal), takeSection(rehearsal)],
  );
}

function asynchronySection(takes: readonly SectionReport[]): PageSection {
  const points = takes.flatMap(({ verdict }, i) => {
    const { asynchronyMicros } = verdict.together;
    return asynchronyMicros === undefined
      ? []
      : [{ take: i + 1, ms: asynchronyMicros / 1000, clean: verdict.clean }];
  });
  const x = scaleLinear([1, Math.max(2, takes.length)], [PLOT.left, PLOT.width - PLOT.right]);
  const most = Math.max(10, ...points.map(({ ms }) => ms));
  const y = scaleLinear([0, most], [PLOT.height - PLOT.bottom, PLOT.top]);
  const ticks = y.ticks(4);
  const marks = points.flatMap(({ take, ms, clean }, i) => {
    const before = points[i - 1];
    const mark = clean ? 'fill="var(--mark)"' : 'fill="var(--paper)" stroke="var(--mark)"';
    return [
      ...(before ? [line([x(before.take), y(before.ms)], [x(take), y(ms)], 'stroke="var(--mark)"')] : []),
      `<circle cx="${round(x(take))}" cy="${round(y(ms))}" r="4" ${mark}/>`,
    ];
  });
  return {
    heading: 'How far apart, take by take',
    paragraphs: ['Filled: the take was clean.'],
    plot: {
      svg: plotSvg('Asynchrony in milliseconds by take', [
        ...ticks.flatMap((ms) => [
          line([PLOT.left, y(ms)], [PLOT.width - PLOT.right, y(ms)]),
          text(PLOT.left - 6, y(ms) + 4, `${ms} ms`, 'end'),
        ]),
        ...marks,
        text(PLOT.left, PLOT.height - 8, 'take 1'),
        text(PLOT.width - PLOT.right, PLOT.height - 8, `take ${takes.length}`, 'end'),
      ]),
      table: {
        columns: ['take', 'apart, ms'],
        rows: points.map(({ take, ms }) => [String(take), ms.toFixed(1)]),
      },
    },
  };
}

interface PlayerSum {
  readonly name: string;
  readonly leadMs: number | undefined;
  readonly spreadMs: number | undefined;
  readonly clean: number;
  readonly takes: number;
  readonly calibrated: boolean;
}

function playerSums(takes: readonly SectionReport[]): PlayerSum[] {
  const names = takes[0]!.verdict.players.map(({ name }) => name);
  return names.map((name) => {
    const own = takes.flatMap(({ verdict }) => verdict.players.filter((one) => one.name === name));
    const played = own.filter(({ attendance }) => attendance !== 'muted' && attendance !== 'away');
    const places = takes.flatMap(({ verdict }) =>
      verdict.together.players.filter((one) => one.player === name && one.leadMicros !== undefined),
    );
    const ms = (values: readonly number[]) => (values.length === 0 ? undefined : mean(values) / 1000);
    return {
      name,
      leadMs: ms(places.map(({ leadMicros }) => leadMicros!)),
      spreadMs: ms(places.map(({ spreadMicros }) => spreadMicros!)),
      clean: played.filter((one) => one.clean).length,
      takes: played.length,
      calibrated: own.some((one) => one.calibrated),
    };
  });
}

const ROW = 22;

function leadSection(takes: readonly SectionReport[]): PageSection {
  const sums = playerSums(takes);
  const reach = Math.max(20, ...sums.map(({ leadMs = 0, spreadMs = 0 }) => Math.abs(leadMs) + spreadMs));
  const left = 150;
  const height = PLOT.top + ROW * sums.length + PLOT.bottom;
  const x = scaleLinear([-reach, reach], [left, PLOT.width - PLOT.right]);
  const rows = sums.flatMap(({ name, leadMs, spreadMs = 0 }, i) => {
    const y = PLOT.top + ROW * (i + 0.5);
    const label = text(left - 8, y + 4, name, 'end');
    if (leadMs === undefined) return [label];
    return [
      label,
      line([x(leadMs - spreadMs), y], [x(leadMs + spreadMs), y], 'stroke="var(--band)" stroke-width="10"'),
      `<circle cx="${round(x(leadMs))}" cy="${round(y)}" r="4" fill="var(--other)"/>`,
    ];
  });
  return {
    heading: 'Who leads',
    paragraphs: ['The middle of the others is the line; the band is how much it varied.'],
    plot: {
      svg: plotSvg(
        'Mean lead or lag of each player against the others in milliseconds',
        [
          line([x(0), PLOT.top], [x(0), height - PLOT.bottom]),
          ...rows,
          text(x(-reach), height - 12, `${Math.round(reach)} ms early`),
          text(x(reach), height - 12, `${Math.round(reach)} ms late`, 'end'),
        ],
        height,
      ),
      table: {
        columns: ['player', 'lead, ms', 'spread, ms', 'clean takes', 'calibrated'],
        rows: sums.map(({ name, leadMs, spreadMs, clean, takes: of, calibrated }) => [
          name,
          leadMs?.toFixed(1) ?? '',
          spreadMs?.toFixed(1) ?? '',
          `${clean} of ${of}`,
          calibrated ? 'yes' : 'no',
        ]),
      },
    },
  };
}

const MOST_PLACES = 8;

/** Where it came apart most in the mean, with who was first and who last there most often. */
function placeSection({ passage, takes }: Rehearsal): PageSection {
  const places = new Map<number, { readonly apart: number[]; readonly pairs: string[] }>();
  for (const { verdict } of takes) {
    const { keepsBeat, together } = verdict;
    if (!keepsBeat) continue;
    for (const { tick, apartMicros, first, last } of together.moments) {
      const place = places.get(tick) ?? { apart: [], pairs: [] };
      place.apart.push(apartMicros);
      place.pairs.push(`${first} before ${last}`);
      places.set(tick, place);
    }
  }
  const widest = [...places].sort(([, a], [, b]) => mean(b.apart) - mean(a.apart)).slice(0, MOST_PLACES);
  return {
    heading: 'Where it comes apart',
    table: {
      columns: ['place', 'first to last, ms', 'most often', 'takes'],
      rows: widest.map(([tick, { apart, pairs }]) => [
        placeName(beatGrid(passage), tick),
        (mean(apart) / 1000).toFixed(0),
        mostOften(pairs),
        String(apart.length),
      ]),
    },
  };
}

function mostOften(words: readonly string[]): string {
  const count = (word: string) => words.filter((one) => one === word).length;
  return words.reduce((most, word) => (count(word) > count(most) ? word : most));
}

function takeSection({ passage, takes }: Rehearsal): PageSection {
  return {
    heading: 'Take by take',
    table: {
      columns: ['take', 'clean', 'what was said'],
      rows: takes.map((report, i) => [
        String(i + 1),
        report.verdict.clean ? 'yes' : 'no',
        sectionSentence(report, passage),
      ]),
    },
  };
}
