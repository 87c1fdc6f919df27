// What the record has of a section, in words.

import { beatGrid } from '../drills/beat-grid.ts';
import { placeName } from '../drills/place-name.ts';
import type { Passage } from '../music/passage.ts';
import { onsetNumbered } from '../music/span.ts';
import type { PlayerSum, SectionDay, SectionProgress } from '../section/section-progress.ts';
import type { KeptSectionTake } from '../section/section-take.ts';
import { counted } from './counted.ts';
import { millis, percent } from './figures.ts';
import { listedNames } from './section.ts';
import { padToWidth, textWidth } from './text-width.ts';

const LAST_DAYS = 14;
const MOST_PLACES = 5;

export function sectionProgressLines(section: string, passage: Passage, progress: SectionProgress): string[] {
  const { takes, cleanTakes, days, players, places } = progress;
  const name = `${section}, ${passage.title}`;
  if (takes === 0) return [`${name}: nothing has been played together yet.`];
  const earlier = days.length - LAST_DAYS;
  const widest = places.slice(0, MOST_PLACES);
  return [
    `${name}: ${cleanTakes} of ${counted(takes, 'take')} clean (${percent(cleanTakes / takes)}), on ${counted(days.length, 'day')}.`,
    '',
    'By day:',
    ...days.slice(-LAST_DAYS).map((day) => `  ${day.day}  ${dayWords(day)}`),
    ...(earlier > 0 ? [`  (${counted(earlier, 'earlier day')} left out)`] : []),
    '',
    ...leadLines(players),
    ...(widest.length === 0
      ? []
      : [
          '',
          'Comes apart most:',
          ...widest.map(
            ({ onset, apartMicros, first, last, takes: of }) =>
              `  ${onsetPlace(passage, onset)}: ${millis(apartMicros)}, most often ${first} before ${last} (${counted(of, 'take')})`,
          ),
        ]),
  ];
}

/** A line for each player: who is ahead, and who was clean. */
export function leadLines(players: readonly PlayerSum[]): string[] {
  const columns = Math.max(...players.map(({ name }) => textWidth(name)));
  return ['Who leads:', ...players.map((one) => `  ${padToWidth(one.name, columns)}  ${playerWords(one)}`)];
}

/** One line of a passage that a section has worked. */
export function sectionPassageLine(passage: string, { takes, cleanTakes, days }: SectionProgress): string {
  return `${passage}: ${cleanTakes} of ${counted(takes, 'take')} clean (${percent(cleanTakes / takes)}), on ${counted(days.length, 'day')}, last on ${days.at(-1)!.day}.`;
}

/** What can be said again of a kept take. */
export function keptTakeSentence({
  drill,
  stepName,
  tempoBpm,
  clean,
  players,
  day,
}: KeptSectionTake): string {
  const broke = players.filter((one) => one.attendance === 'counted' && !one.clean);
  const how =
    broke.length === 0
      ? clean
        ? 'all clean'
        : 'nobody who counts was there'
      : `${listedNames(broke.map(({ name }) => name))} not clean`;
  return `${day}, ${drill}, ${stepName}, at ${Math.round(tempoBpm)}: ${how}.`;
}

/** @example 'bar 3, beat 2' */
export function onsetPlace(passage: Passage, onset: number): string {
  return placeName(beatGrid(passage), onsetNumbered(passage, onset).tick);
}

function dayWords({ takes, cleanTakes, asynchronyMicros }: SectionDay): string {
  const clean = `${counted(takes, 'take')}, ${cleanTakes} clean (${percent(cleanTakes / takes)})`;
  return asynchronyMicros === undefined ? clean : `${clean}, together within ${millis(asynchronyMicros)}`;
}

function playerWords({ leadMicros, spreadMicros = 0, cleanTakes, takes, calibrated }: PlayerSum): string {
  const clean = `${cleanTakes} of ${counted(takes, 'take')} clean`;
  if (leadMicros === undefined) return `never with another; ${clean}`;
  const side =
    Math.round(leadMicros / 1000) === 0
      ? 'with the others'
      : `${millis(leadMicros)} ${leadMicros < 0 ? 'ahead of' : 'behind'} the others`;
  const setUp = calibrated ? '' : ' (not calibrated: it may be the set-up)';
  return `${side}, give or take ${millis(spreadMicros)}${setUp}; ${clean}`;
}
