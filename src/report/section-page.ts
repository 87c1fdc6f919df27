// A section as a page: of one rehearsal, or of all that the record has of it. How far apart it was take by take, who
// leads, where it comes apart; over several days the share of clean takes.

import { scaleLinear } from 'd3-scale';
import { dayNumber } from '../coaching/due.ts';
import type { Passage } from '../music/passage.ts';
import {
  type PlaceSum,
  type PlayerSum,
  type SectionDay,
  type SectionProgress,
  sectionProgress,
} from '../section/section-progress.ts';
import type { SectionTake } from '../section/section-take.ts';
import { counted } from '../wording/counted.ts';
import { onsetPlace } from '../wording/section-progress.ts';
import { htmlPage, type PageSection } from './page.ts';
import { line, PLOT, plotSvg, round, text } from './plot.ts';
import { sharePlot } from './tempo-plot.ts';

export interface Rehearsal {
  readonly section: string;
  readonly passage: Passage;
  /** In order of playing. */
  readonly takes: readonly ToldTake[];
}

interface ToldTake extends SectionTake {
  /** What was said of it. */
  readonly sentence: string;
}

const FOOT =
  'Apart: the standard deviation of the differences between players, over all pairs (Rasch 1979). Plus is late. A constant lead may be the set-up, where it was not calibrated.';

/** Of one rehearsal. */
export function rehearsalPage(rehearsal: Rehearsal, day: string): string {
  const { section, passage, takes } = rehearsal;
  const progress = sectionProgress(takes);
  return htmlPage(
    {
      title: `${section}: ${passage.title}`,
      subtitle: `${day}, ${takesWords(progress)}`,
      foot: FOOT,
    },
    takes.length === 0 ? [] : rehearsalSections(rehearsal, progress),
  );
}

/** Of all that the record has of a section in a passage. */
export function sectionPage(rehearsal: Rehearsal): string {
  const { section, passage, takes } = rehearsal;
  const progress = sectionProgress(takes);
  const { days } = progress;
  const [from, to] = [days[0], days.at(-1)];
  return htmlPage(
    {
      title: `${section}: ${passage.title}`,
      subtitle:
        from && to
          ? `${from.day} to ${to.day}: ${takesWords(progress)}, on ${counted(days.length, 'day')}`
          : 'Nothing has been played together yet.',
      foot: `Made by Fettle from a practice record. ${FOOT}`,
    },
    takes.length === 0 ? [] : [...daySections(days), ...rehearsalSections(rehearsal, progress)],
  );
}

function takesWords({ takes, cleanTakes }: SectionProgress): string {
  return `${counted(takes, 'take')}, ${cleanTakes} clean`;
}

function rehearsalSections({ passage, takes }: Rehearsal, progress: SectionProgress): PageSection[] {
  return [
    asynchronySection(takes),
    leadSection(progress.players),
    placeSection(passage, progress.places),
    takeSection(takes),
  ];
}

function daySections(days: readonly SectionDay[]): PageSection[] {
  return [
    {
      heading: 'Clean takes by day',
      paragraphs: ['The share of the takes of the section that were clean.'],
      plot: sharePlot(
        days.map(({ day, takes, cleanTakes }) => ({
          day: dayNumber(day),
          takes,
          cleanShare: cleanTakes / takes,
        })),
      ),
    },
    {
      heading: 'How far apart by day',
      table: {
        columns: ['day', 'takes', 'clean', 'apart, ms'],
        rows: days.map(({ day, takes, cleanTakes, asynchronyMicros }) => [
          day,
          String(takes),
          String(cleanTakes),
          msText(asynchronyMicros),
        ]),
      },
    },
  ];
}

function msText(micros: number | undefined): string {
  return micros === undefined ? '' : (micros / 1000).toFixed(1);
}

function asynchronySection(takes: readonly SectionTake[]): PageSection {
  const points = takes.flatMap(({ clean, together: { asynchronyMicros } }, i) =>
    asynchronyMicros === undefined ? [] : [{ take: i + 1, ms: asynchronyMicros / 1000, clean }],
  );
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

const ROW = 22;

function leadSection(players: readonly PlayerSum[]): PageSection {
  const reach = Math.max(
    20_000,
    ...players.map(({ leadMicros = 0, spreadMicros = 0 }) => Math.abs(leadMicros) + spreadMicros),
  );
  const left = 150;
  const height = PLOT.top + ROW * players.length + PLOT.bottom;
  const x = scaleLinear([-reach, reach], [left, PLOT.width - PLOT.right]);
  const rows = players.flatMap(({ name, leadMicros, spreadMicros = 0 }, i) => {
    const y = PLOT.top + ROW * (i + 0.5);
    const label = text(left - 8, y + 4, name, 'end');
    if (leadMicros === undefined) return [label];
    return [
      label,
      line(
        [x(leadMicros - spreadMicros), y],
        [x(leadMicros + spreadMicros), y],
        'stroke="var(--band)" stroke-width="10"',
      ),
      `<circle cx="${round(x(leadMicros))}" cy="${round(y)}" r="4" fill="var(--other)"/>`,
    ];
  });
  const edge = Math.round(reach / 1000);
  return {
    heading: 'Who leads',
    paragraphs: ['The middle of the others is the line; the band is how much it varied.'],
    plot: {
      svg: plotSvg(
        'Mean lead or lag of each player against the others in milliseconds',
        [
          line([x(0), PLOT.top], [x(0), height - PLOT.bottom]),
          ...rows,
          text(x(-reach), height - 12, `${edge} ms early`),
          text(x(reach), height - 12, `${edge} ms late`, 'end'),
        ],
        height,
      ),
      table: {
        columns: ['player', 'lead, ms', 'spread, ms', 'clean takes', 'calibrated'],
        rows: players.map(({ name, leadMicros, spreadMicros, cleanTakes, takes, calibrated }) => [
          name,
          msText(leadMicros),
          msText(spreadMicros),
          `${cleanTakes} of ${takes}`,
          calibrated ? 'yes' : 'no',
        ]),
      },
    },
  };
}

const MOST_PLACES = 8;

/** Where it came apart most in the mean, with who was first and who last there most often. */
function placeSection(passage: Passage, places: readonly PlaceSum[]): PageSection {
  return {
    heading: 'Where it comes apart',
    table: {
      columns: ['place', 'first to last, ms', 'most often', 'takes'],
      rows: places
        .slice(0, MOST_PLACES)
        .map(({ onset, apartMicros, first, last, takes }) => [
          onsetPlace(passage, onset),
          (apartMicros / 1000).toFixed(0),
          `${first} before ${last}`,
          String(takes),
        ]),
    },
  };
}

function takeSection(takes: readonly ToldTake[]): PageSection {
  return {
    heading: 'Take by take',
    table: {
      columns: ['take', 'clean', 'what was said'],
      rows: takes.map(({ clean, sentence }, i) => [String(i + 1), clean ? 'yes' : 'no', sentence]),
    },
  };
}
