// The plain line mode: what the screen says, as lines for screen readers, logs and pipes. A line is a function of the
// news and its time; times are seconds since the session began.

import type { Passage } from '../music/passage.ts';
import type { News } from '../session/news.ts';
import { clickWords } from './click.ts';
import { costliestWords } from './costliest.ts';
import { counted, stepTitle } from './counted.ts';
import { noticeWords } from './notice.ts';
import { pauseClause } from './pause.ts';
import { entryWords, taskWords } from './practice.ts';
import { seatWords, sectionLines } from './section.ts';
import { takeSentence } from './sentence.ts';
import { stepNotes } from './step-notes.ts';
import { standingAfterTake } from './step-standing.ts';

/** The line for a piece of news, or undefined where the plain mode has nothing to say. */
export function plainLine(news: News, passage: Passage, sinceBeginMicros: number): string | undefined {
  const words = plainWords(news, passage);
  return words === undefined
    ? undefined
    : `${(sinceBeginMicros / 1_000_000).toFixed(1).padStart(6)}  ${words}`;
}

function plainWords(news: News, passage: Passage): string | undefined {
  switch (news.kind) {
    case 'step': {
      const click = clickWords(news.step.run, news.click);
      const entrance = [
        ...(news.leadInBeats > 0 ? [`lead-in ${news.leadInBeats}`] : []),
        ...(news.entry === undefined ? [] : [entryWords(news.entry)]),
      ];
      return news.attempt > 1
        ? ['again', ...entrance].join(', ')
        : `${[
            `step ${news.number} of ${news.of}`,
            stepTitle(news.drill, news.name),
            `${news.tempoBpm} a minute`,
            ...(click === undefined ? [] : [click]),
            ...entrance,
          ].join(', ')}: ${stepNotes(news.step)}`;
    }
    case 'verdict': {
      // Of several the section's verdict tells all of them in their order.
      if (news.ofSection) return undefined;
      const mark = news.clean ? '+' : 'x';
      return `${mark} ${takeSentence(news.report, passage)} (${standingAfterTake(news.standing, news)})`;
    }
    case 'section': {
      const { report, standing } = news;
      const { clean } = report.verdict;
      return sectionLines(report, passage, standingAfterTake(standing, { ...news, clean })).join('\n');
    }
    case 'away':
      return `${news.player} is away: ${news.why}; the others go on`;
    case 'back':
      return `${news.player} is back, in from the next take on`;
    case 'seat':
      return seatWords(news);
    case 'skipped':
      return `skipped: ${news.name}`;
    case 'tempo':
      return `tempo ${news.tempoBpm} a minute`;
    case 'task':
      return taskWords(news.drill);
    case 'notice':
      return noticeWords(news.notice);
    case 'paused': {
      const why = pauseClause(news.reason);
      return why === undefined ? 'paused' : `paused: ${why}`;
    }
    case 'resumed':
      return 'going on';
    case 'finished':
      return finishedWords(news);
  }
}

/** What came of a session. */
export function finishedWords(news: Extract<News, { kind: 'finished' }>): string {
  // What a survey found is a list of its own.
  if (news.survey)
    return news.takes === 0
      ? 'done: no run-through played'
      : `done: ${counted(news.takes, 'run-through')}, ${news.cleanTakes} clean`;
  const costliest = news.costliest === undefined ? '' : `. ${costliestWords(news.costliest)}`;
  // Left at once: of nothing nothing was clean.
  const takes =
    news.takes === 0 ? 'no take played' : `${news.cleanTakes} of ${counted(news.takes, 'take')} clean`;
  return `done: ${news.stepsPassed} of ${news.steps} steps passed${news.stepsSkipped > 0 ? `, ${news.stepsSkipped} skipped` : ''}; ${takes}${costliest}`;
}
