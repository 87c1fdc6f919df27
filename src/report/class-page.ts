// The page of a class, or of one pupil: who has done what, where it trips, and what to work on together.

import type { OnsetRange } from '../drills/step-onset.ts';
import type { ClassWork } from '../lesson/class-work.ts';
import { judgedInAll } from '../lesson/judged-again.ts';
import { checkedSpan } from '../lesson/lesson-text.ts';
import { counted } from '../wording/counted.ts';
import {
  assignmentWords,
  CLASS_COLUMNS,
  classCells,
  judgedWords,
  lessonTitle,
  NOTHING_SHARED,
  sharedAdvice,
  sharedWords,
  stateWords,
} from '../wording/lesson.ts';
import { cutToWidth } from '../wording/text-width.ts';
import { htmlPage, type PageSection } from './page.ts';
import { TROUBLE_LEGEND, troublePlot } from './trouble-plot.ts';

const FOOT =
  'Made by Fettle on this computer from what the pupils sent back; nothing was sent anywhere else. Figures describe takes, not people, and a take at home is not a take in the hall. That a return is as it was written was checked against accidents; it is no proof of who played. Where it hurts, stop; if it lasts, see a doctor or physiotherapist.';

/** Width of a name before a row of the picture, in cells. */
const LABEL_CELLS = 16;

export function classPage(work: ClassWork): string {
  const { lesson, pupils } = work;
  const sections: PageSection[] = [
    togetherSection(work),
    {
      heading: 'Who has done what',
      table: {
        columns: ['pupil', ...lesson.assignments.map((_, i) => String(i + 1)), 'takes', 'days', 'returned'],
        rows: pupils.map(({ name, ofClass, takes, days, made }) => [
          name,
          ...ofClass.map((outcome, i) => (outcome ? stateWords(outcome, lesson.assignments[i]!.due) : '-')),
          String(takes),
          String(days),
          made.slice(0, 10),
        ]),
      },
    },
    ...lesson.assignments.map((assignment, i): PageSection => {
      const { due, word } = assignment;
      return {
        heading: `${i + 1}. ${assignmentWords(lesson, assignment)}`,
        paragraphs: [
          ...(due === undefined ? [] : [`To be done by ${due}.`]),
          ...(word === undefined ? [] : [`\u201c${word}\u201d`]),
        ],
        table: {
          columns: ['pupil', ...CLASS_COLUMNS, 'skipped'],
          rows: pupils.map(({ name, ofClass }) => {
            const cells = classCells(lesson, assignment, ofClass[i]);
            const skipped = (ofClass[i]?.skipped ?? []).map(({ drill, name: step }) => `${drill} ${step}`);
            return [name, ...CLASS_COLUMNS.map((_, c) => cells[c] ?? ''), skipped.join('; ')];
          }),
        },
      };
    }),
    ...Object.keys(lesson.passages).map((fingerprint) => placesSection(work, fingerprint)),
  ];
  return htmlPage(
    {
      title: lesson.title,
      subtitle: `${lessonTitle(lesson)}; ${counted(pupils.length, 'pupil')}`,
      foot: `${judgedWords(judgedInAll(pupils))} ${FOOT}`,
    },
    sections,
  );
}

function togetherSection({ lesson, pupils, shared }: ClassWork): PageSection {
  const alone = pupils.length === 1;
  const heading = alone ? 'What to work on next' : 'What to work on together';
  if (shared.length === 0) {
    const words = alone ? 'No interval went wrong in more than a quarter of the takes.' : NOTHING_SHARED;
    return { heading, paragraphs: [words] };
  }
  return {
    heading,
    paragraphs: shared.map((one) => `${sharedWords(lesson, one)}. ${sharedAdvice(one)}`),
  };
}

/** Where in a passage it trips whom. */
function placesSection({ lesson, pupils }: ClassWork, fingerprint: string): PageSection {
  const stretch = stretchOf(lesson, fingerprint);
  const rows = pupils.flatMap(({ name, byPassage }) => {
    const troubles = byPassage[fingerprint]?.troubles;
    return troubles ? [{ label: cutToWidth(name, LABEL_CELLS), troubles }] : [];
  });
  const passage = lesson.passages[fingerprint]!;
  return {
    heading: `Where: ${passage.title}`,
    paragraphs: [
      `The line of the music, and under it each pupil\u2019s commonest trouble at each onset: ${TROUBLE_LEGEND}.`,
    ],
    plot: troublePlot(passage, rows, stretch, 'pupil'),
  };
}

/** All that is asked of a passage. */
function stretchOf(lesson: ClassWork['lesson'], fingerprint: string): OnsetRange {
  const spans = lesson.assignments
    .filter(({ passage }) => passage === fingerprint)
    .map((assignment) => checkedSpan(lesson, assignment));
  const whole = { first: 1, last: lesson.passages[fingerprint]!.onsets.length };
  if (spans.length === 0) return whole;
  return {
    first: Math.min(...spans.map(({ first }) => first)),
    last: Math.max(...spans.map(({ last }) => last)),
  };
}
