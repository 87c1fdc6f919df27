// The verdict on a take of a section for other programs; its fields are a contract (DEVELOPERS.md).

import type { Passage } from '../music/passage.ts';
import type { SectionReport } from '../session/section-report.ts';
import { inMs } from './figures.ts';
import { playerLines, sectionSentence } from './section.ts';

export function sectionJson(report: SectionReport, passage: Passage): object {
  const { verdict } = report;
  const { together, players, clean } = verdict;
  const words = new Map(playerLines(report, passage).map((line) => [line.name, line.words]));
  return {
    clean,
    sentence: sectionSentence(report, passage),
    players: players.map(({ name, attendance, clean, calibrated }) => {
      const place = together.players.find(({ player }) => player === name);
      return {
        name,
        clean,
        sentence: words.get(name) ?? '',
        attendance,
        calibrated,
        ...inMs('leadMs', place?.leadMicros),
        ...inMs('spreadMs', place?.spreadMicros),
      };
    }),
    ...inMs('asynchronyMs', together.asynchronyMicros),
    pairs: together.pairs.map(({ a, b, events, leadMicros, asynchronyMicros }) => ({
      a,
      b,
      events,
      ...inMs('leadMs', leadMicros),
      ...inMs('asynchronyMs', asynchronyMicros),
    })),
    moments: together.moments.map(({ tick, first, last, apartMicros }) => ({
      tick,
      first,
      last,
      ...inMs('apartMs', apartMicros),
    })),
    intervals: together.intervals.map(({ fromTick, toTick, player, micros }) => ({
      fromTick,
      toTick,
      player,
      ...inMs('differenceMs', micros),
    })),
  };
}
