// What the record has of a section, for other programs; its fields are a contract (DEVELOPERS.md).

import type { SectionProgress } from '../section/section-progress.ts';
import type { KeptSectionTake } from '../section/section-take.ts';
import { inMs } from './figures.ts';

export function sectionProgressJson(
  section: string,
  passage: string,
  takes: readonly KeptSectionTake[],
  { cleanTakes, days, players, places }: SectionProgress,
): object {
  return {
    format: 1,
    section,
    passage,
    cleanTakes,
    days: days.map(({ asynchronyMicros, ...day }) => ({ ...day, ...inMs('asynchronyMs', asynchronyMicros) })),
    players: players.map(({ leadMicros, spreadMicros, ...player }) => ({
      ...player,
      ...inMs('leadMs', leadMicros),
      ...inMs('spreadMs', spreadMicros),
    })),
    places: places.map(({ apartMicros, ...place }) => ({ ...place, ...inMs('apartMs', apartMicros) })),
    takes: takes.map(({ day, drill, stepName, tempoBpm, clean, together, players: own }) => ({
      day,
      drill,
      step: stepName,
      tempoBpm,
      clean,
      ...inMs('asynchronyMs', together.asynchronyMicros),
      players: own.map(({ name, attendance, clean: isClean }) => {
        const place = together.players.find(({ player }) => player === name);
        return {
          name,
          attendance,
          clean: isClean,
          ...inMs('leadMs', place?.leadMicros),
          ...inMs('spreadMs', place?.spreadMicros),
        };
      }),
    })),
  };
}
