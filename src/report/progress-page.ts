// The pages: one of a passage, one of all passages.

import { dateOf } from '../coaching/due.ts';
import type { Outlook } from '../coaching/outlook.ts';
import type { CountedDay, FoundTake, Progress } from '../coaching/progress.ts';
import { troubleCounts } from '../coaching/trouble-counts.ts';
import type { OnsetRange } from '../drills/step-onset.ts';
import type { Span } from '../music/span.ts';
import { dayOf } from '../record/entry.ts';
import { counted } from '../wording/counted.ts';
import { percent } from '../wording/figures.ts';
import { latelyWords, outlookSentences, type ProgressNames, shareWords } from '../wording/progress.ts';
import { weekSentences } from '../wording/week.ts';
import { intervalPlot } from './interval-plot.ts';
import { htmlPage, type PageSection } from './page.ts';
import { sharePlot, tempoPlot } from './tempo-plot.ts';
import { TROUBLE_LEGEND, type TroubleRow, troublePlot } from './trouble-plot.ts';

export interface PassageReport {
  readonly span: Span;
  /** Of which onsets the clean tempo and the contour are. */
  readonly range: OnsetRange;
  readonly judged: readonly FoundTake[];
  readonly progress: Progress;
  readonly outlook: Outlook;
  readonly names: ProgressNames;
}

const FOOT =
  'Made by Fettle from a practice record. It holds the names of passages, days, tempi and what was right or wrong, and nothing else; to make it nothing was sent anywhere. Figures describe takes, not people. Where it hurts, stop; if it lasts, see a doctor or physiotherapist.';

export function passagePage(report: PassageReport): string {
  const { span, range, judged, progress, outlook, names } = report;
  const sections: PageSection[] = [
    { heading: 'This week', paragraphs: weekSentences(progress, outlook.today, names) },
    {
      heading: 'Clean tempo by day',
      paragraphs: [
        'Dots: the tempo at which every interval was clean in some take of that day. Squares: all of it in one take.',
        ...outlookSentences(outlook),
      ],
      plot: tempoPlot(progress.days, outlook),
    },
    {
      heading: 'Clean takes',
      paragraphs: [
        `In all, ${shareWords(progress.cleanShare)}. What will be known the next day goes with this share rather than with minutes (Duke, Simmons and Cash 2009).`,
      ],
      plot: sharePlot(progress.days),
    },
    {
      heading: 'What went wrong, and where',
      paragraphs: [
        `The line of the music, and under it the commonest trouble at each onset: ${TROUBLE_LEGEND}.`,
      ],
      plot: troublePlot(span.passage, troublesByDay(judged), range, 'day'),
    },
    {
      heading: 'Interval by interval',
      paragraphs: [
        `Mean and spread (one standard deviation) of the deviations${latelyWords(progress)}: above the line too long, below too short.`,
      ],
      plot: intervalPlot(progress.intervals, names.interval),
    },
    {
      heading: 'What was practised',
      table: {
        columns: ['drill', 'takes', 'clean', 'clean up to'],
        rows: progress.drills.map(({ drill, takes: own, cleanTakes, fastestCleanBpm }) => [
          drill,
          String(own),
          String(cleanTakes),
          fastestCleanBpm === undefined ? '-' : String(Math.round(fastestCleanBpm)),
        ]),
      },
      ...(progress.skipped.length === 0
        ? {}
        : {
            paragraphs: [
              `Skipped: ${progress.skipped.map(({ drill, stepName, times }) => `${drill} ${stepName} (${times})`).join('; ')}.`,
            ],
          }),
    },
  ];
  return htmlPage({ title: names.title, subtitle: subtitleOf(progress), foot: FOOT }, sections);
}

const MOST_DAYS = 21;

/** Of what was played: a step that was skipped in the middle of a take counts nowhere on the page. */
function troublesByDay(all: readonly FoundTake[]): TroubleRow[] {
  const takes = all.filter(({ end }) => end !== 'skipped');
  const days = [...new Set(takes.map(dayOf))].sort().slice(-MOST_DAYS);
  return days.map((day) => ({
    label: day.slice(5),
    troubles: troubleCounts(takes.filter((take) => dayOf(take) === day)),
  }));
}

function subtitleOf({ days, takes }: Progress): string {
  const [from, to] = [days[0], days.at(-1)];
  if (!from || !to) return 'Nothing has been played yet.';
  return `${dateOf(from.day)} to ${dateOf(to.day)}: ${counted(takes, 'take')} on ${counted(days.length, 'day')}`;
}

export interface PassageRow {
  readonly passage: string;
  readonly takes: number;
  readonly cleanShare?: number;
  readonly days: readonly CountedDay[];
  readonly dueDay?: number;
}

export function overviewPage(rows: readonly PassageRow[], title: string): string {
  return htmlPage({ title, subtitle: counted(rows.length, 'passage'), foot: FOOT }, [
    {
      heading: 'All passages',
      table: {
        columns: ['passage', 'days', 'takes', 'complete takes clean', 'last worked', 'due'],
        rows: rows.map(({ passage, takes, cleanShare, days, dueDay }) => [
          passage,
          String(days.length),
          String(takes),
          cleanShare === undefined ? '-' : percent(cleanShare),
          days.length === 0 ? '-' : dateOf(days.at(-1)!.day),
          dueDay === undefined ? '-' : dateOf(dueDay),
        ]),
      },
    },
    ...rows.map(({ passage, days }) => ({ heading: passage, plot: sharePlot(days) })),
  ]);
}
