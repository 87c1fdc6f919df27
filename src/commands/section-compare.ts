// `fettle section compare FILE PASSAGE`: takes that the players had each at a station of their own, compared afterwards
// through the record that has them all.

import { localDay } from '../local-date.ts';
import { grouped } from '../music/grouped.ts';
import type { Passage } from '../music/passage.ts';
import type { Span } from '../music/span.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import { ProblemError } from '../problem.ts';
import { dayOf, type EntryHeading, isComplete } from '../record/entry.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { type Comparable, comparable, type SharedStep, type StepPlayed } from '../section/comparable.ts';
import { comparedTakes, type StationTake } from '../section/compared-takes.ts';
import type { SectionPlayer } from '../section/section-file.ts';
import type { SectionReport } from '../session/section-report.ts';
import { takeReport } from '../session/take-report.ts';
import { sectionLines } from '../wording/section.ts';
import { sectionJson } from '../wording/section-json.ts';
import { loadSpan, type PassageOptions } from './passage-argument.ts';
import { print } from './print.ts';
import { printFolded } from './print-folded.ts';
import type { RecordOptions } from './record-place.ts';
import { openReader, takeFilter, wholeEntries } from './record-reading.ts';
import { loadSection } from './section-argument.ts';
import { usage } from './usage-problem.ts';

export interface CompareOptions extends Omit<PassageOptions, 'part' | 'instrument'>, RecordOptions {
  readonly without?: readonly string[];
  readonly drill?: string;
  readonly from?: string;
  readonly to?: string;
  readonly json?: boolean;
}

export async function compareSection(
  argument: string,
  passage: string,
  options: CompareOptions,
): Promise<void> {
  const { players } = loadSection(argument, options.without);
  const reader = await openReader(options);
  try {
    const { shared, alone } = await stationTakes(reader, players, passage, options);
    const whole = (await loadSpan(passage, { ...musicOptions(options), part: 'all' })).passage;
    for (const step of shared) await tell(reader, step, whole, options.json ?? false);
    if (alone.length > 0) await tellAlone(alone, options.json ?? false);
  } finally {
    await reader.close();
  }
}

/** A player's last complete take of a step. */
interface LastTake extends StepPlayed {
  readonly heading: EntryHeading;
}

/** What at least two have played to its end at one tempo, with the last take of each. */
async function stationTakes(
  reader: PracticeReader,
  players: readonly SectionPlayer[],
  passage: string,
  options: CompareOptions,
): Promise<Comparable<LastTake>> {
  const found: LastTake[] = [];
  for (const player of players) found.push(...(await lastTakes(reader, player, passage, options)));
  const chosen = comparable(found);
  if (chosen.shared.length > 0) return chosen;
  const there = [...new Set(found.map(({ player }) => player))];
  if (there.length > 1)
    throw usage(
      'section.compare',
      `Cannot compare: no music was played to the end of its step by two of them at one tempo`,
      'The same --drill and --tempo at every station, such as fettle work PASSAGE --drill through --tempo 72.',
    );
  const names = await reader.players();
  throw usage(
    'section.compare',
    `Cannot compare: ${there.length === 0 ? 'nobody of the section' : `only ${there[0]}`} has complete takes of it in ${reader.place}`,
    `Takes are found by the names of the section file; the players there are ${names.length === 0 ? 'none yet' : names.join(', ')}. At a station: fettle work PASSAGE --part PART --player NAME.`,
  );
}

/** One of each step: the last that was played to its stop. */
async function lastTakes(
  reader: PracticeReader,
  { name, ...player }: SectionPlayer,
  passage: string,
  options: CompareOptions,
): Promise<LastTake[]> {
  const last = new Map<string, LastTake>();
  for (const { fingerprint, span } of await musicOf(player, passage, options)) {
    const filter = { ...filterOf(options), players: [name], fingerprint };
    for (const heading of await reader.headings(filter)) {
      const { stepFirst = 0, stepLast = 0, drill, stepName, tempoBpm, date } = heading;
      if (!isComplete(heading) || stepFirst < span.first || stepLast > span.last) continue;
      const key = JSON.stringify([drill, stepName, tempoBpm]);
      if ((last.get(key)?.date ?? '') > date) continue;
      const ticks = span.passage.onsets.slice(stepFirst - 1, stepLast).map(({ tick }) => tick);
      const played = { player: name, drill, stepName, tempoBpm, ticks, date };
      last.set(key, { ...played, heading });
    }
  }
  return [...last.values()];
}

interface Music {
  readonly fingerprint: string;
  readonly span: Span;
}

/** What a player may have played of the passage at a station: the own part, as read or as it sounds, or all of it. */
async function musicOf(
  { part, instrument }: Pick<SectionPlayer, 'part' | 'instrument'>,
  passage: string,
  options: CompareOptions,
): Promise<Music[]> {
  const music = musicOptions(options);
  const own = part === undefined ? {} : { part: String(part) };
  const read = instrument === undefined ? {} : { instrument };
  const spans = await Promise.all(
    [{ ...own, ...read }, own, { part: 'all' }].map((choice) =>
      spanWhereItHasNotes(passage, { ...music, ...choice }),
    ),
  );
  const found = spans.flatMap((span) =>
    span ? [{ fingerprint: passageFingerprint(span.passage), span }] : [],
  );
  return [...grouped(found, ({ fingerprint }) => fingerprint).values()].map(([one]) => one!);
}

/** Undefined where a part has no note in the bars that were chosen. */
async function spanWhereItHasNotes(passage: string, options: PassageOptions) {
  try {
    return await loadSpan(passage, options);
  } catch (error) {
    if (error instanceof ProblemError && error.problem.code === 'span.empty') return undefined;
    throw error;
  }
}

function musicOptions({ bars, mark, groups }: CompareOptions): PassageOptions {
  return {
    ...(bars === undefined ? {} : { bars }),
    ...(mark === undefined ? {} : { mark }),
    ...(groups === undefined ? {} : { groups }),
  };
}

function filterOf(options: CompareOptions): TakeFilter {
  const { from, to, drill } = options;
  return {
    ...takeFilter({ ...(from === undefined ? {} : { from }), ...(to === undefined ? {} : { to }) }),
    ...(drill === undefined ? {} : { drill }),
  };
}

async function tell(
  reader: PracticeReader,
  { takes, ...step }: SharedStep<LastTake>,
  passage: Passage,
  json: boolean,
): Promise<void> {
  const stations = (await Promise.all(takes.map((one) => stationTake(reader, one)))).flatMap(
    (one) => one ?? [],
  );
  if (stations.length < 2 || stations.some(({ playing }) => playing.terms.run.pulse === 'free')) {
    if (!json)
      print(`${stepWords(step)}: without a click there is nothing that the stations have in common.`);
    return;
  }
  const { verdict, results } = comparedTakes(stations);
  const report: SectionReport = {
    verdict,
    takes: results.map((result, i) => takeReport(result, stations[i]!.playing.terms.line, undefined)),
  };
  const { drill, stepName, tempoBpm } = step;
  if (json) {
    const days = takes.map(({ heading }) => dayOf(heading));
    const steps = takes.map((take) => take.stepName);
    print(JSON.stringify({ drill, step: stepName, tempoBpm, days, steps, ...sectionJson(report, passage) }));
    return;
  }
  const whose = takes.map((take) => {
    const isLonger = take.drill !== drill || take.stepName !== stepName;
    return `${take.player} ${whenWords(take.heading)}${isLonger ? ` in ${take.drill}, ${take.stepName}` : ''}`;
  });
  await printFolded([`${stepWords(step)} (${whose.join('; ')}):`, ...sectionLines(report, passage)]);
}

async function tellAlone(takes: readonly LastTake[], json: boolean): Promise<void> {
  if (json) {
    const notCompared = takes.map(({ player, drill, stepName, tempoBpm, heading }) => ({
      player,
      drill,
      step: stepName,
      tempoBpm,
      day: dayOf(heading),
    }));
    return print(JSON.stringify({ notCompared }));
  }
  await printFolded([
    'Not compared: nobody else has two onsets of it at that tempo in a take to its end:',
    ...takes.map((take) => `  ${take.player} ${whenWords(take.heading)}: ${stepWords(take)}`),
  ]);
}

function stepWords({ drill, stepName, tempoBpm }: Omit<SharedStep<LastTake>, 'takes'>): string {
  return `${drill}, ${stepName}, at ${Math.round(tempoBpm)}`;
}

function whenWords(heading: EntryHeading): string {
  return dayOf(heading) === localDay(new Date()) ? heading.date.slice(11, 16) : dayOf(heading);
}

async function stationTake(
  reader: PracticeReader,
  { player, heading }: LastTake,
): Promise<StationTake | undefined> {
  const { fingerprint, drill, sitting, order } = heading;
  const day = dayOf(heading);
  const filter = { players: [player], drill, from: day, to: day, ...(fingerprint ? { fingerprint } : {}) };
  for await (const entry of wholeEntries(reader, filter)) {
    if (entry.sitting === sitting && entry.order === order && entry.playing)
      return { player, playing: entry.playing };
  }
  return undefined;
}
