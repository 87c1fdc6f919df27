// The plain line mode: what the screen says, as lines for screen readers, logs and pipes. A line is a function of the
// news and its time; times are seconds since the session began.

import type { News } from '../session/news.ts';
import { counted, stepTitle } from './counted.ts';

/** The line for a piece of news, or undefined where the plain mode has nothing to say. */
export function plainLine(news: News, sinceBeginMicros: number): string | undefined {
  const words = plainWords(news);
  return words === undefined
    ? undefined
    : `${(sinceBeginMicros / 1_000_000).toFixed(1).padStart(6)}  ${words}`;
}

function plainWords(news: News): string | undefined {
  switch (news.kind) {
    case 'step':
      return news.attempt > 1
        ? undefined
        : `step ${news.number} of ${news.of}, ${stepTitle(news.drill, news.name)}, ${news.tempoBpm} a minute${news.leadInClicks > 0 ? `, lead-in ${news.leadInClicks}` : ''}${news.entry === undefined ? '' : `, ${news.entry}`}`;
    case 'verdict': {
      const mark = news.clean ? '+' : 'x';
      return `${mark} ${news.sentence} (${news.progress})`;
    }
    case 'skipped':
      return `skipped: ${news.name}`;
    case 'tempo':
      return `tempo ${news.tempoBpm} a minute`;
    case 'task':
    case 'advice':
    case 'rest':
      return news.text;
    case 'paused':
      return news.why === '' ? 'paused' : `paused: ${news.why}`;
    case 'resumed':
      return 'going on';
    case 'finished':
      return finishedWords(news);
  }
}

/** What came of a session. */
export function finishedWords(news: Extract<News, { kind: 'finished' }>): string {
  // What a survey found is a list of its own.
  if (news.survey) return `done: ${counted(news.takes, 'run-through')}, ${news.cleanTakes} clean`;
  const costliest = news.costliest === undefined ? '' : `. ${news.costliest}`;
  return `done: ${news.stepsPassed} of ${news.steps} steps passed${news.stepsSkipped > 0 ? `, ${news.stepsSkipped} skipped` : ''}; ${news.cleanTakes} of ${counted(news.takes, 'take')} clean${costliest}`;
}
