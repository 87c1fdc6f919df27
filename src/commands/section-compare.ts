// `fettle section compare FILE PASSAGE`: takes that the players had each at a station of their own, compared afterwards
// through the record that has them all.

import { localDay } from '../local-date.ts';
import { grouped } from '../music/grouped.ts';
import type { Passage } from '../music/passage.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import { ProblemError } from '../problem.ts';
import { dayOf, type EntryHeading, isComplete } from '../record/entry.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import type { TakeFilter } from '../record/take-filter.ts';
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
    const chosen = await comparable(reader, players, passage, options);
    const whole = (await loadSpan(passage, { ...musicOptions(options), part: 'all' })).passage;
    for (const takes of chosen) await tell(reader, takes, whole, options.json ?? false);
  } finally {
    await reader.close();
  }
}

/** A player's last complete take of a step. */
interface LastTake {
  readonly player: string;
  readonly heading: EntryHeading;
}

/** The steps of which at least two have a complete take at one tempo, with the last take of each; the latest step last. */
async function comparable(
  reader: PracticeReader,
  players: readonly SectionPlayer[],
  passage: string,
  options: CompareOptions,
): Promise<(readonly LastTake[])[]> {
  const found: LastTake[] = [];
  for (const player of players)
    for (const heading of await lastTakes(reader, player, passage, options))
      found.push({ player: player.name, heading });
  const steps = [...grouped(found, ({ heading }) => stepKey(heading)).values()];
  const shared = steps.filter((takes) => takes.length > 1);
  if (shared.length > 0) return shared.sort((a, b) => (lastDate(a) < lastDate(b) ? -1 : 1));
  const there = [...new Set(found.map(({ player }) => player))];
  if (there.length > 1)
    throw usage(
      'section.compare',
      `Cannot compare: no step was played to its end by two of them at one tempo`,
      'The same --drill and --tempo at every station, such as fettle work PASSAGE --drill through --tempo 72.',
    );
  const names = await reader.players();
  throw usage(
    'section.compare',
    `Cannot compare: ${there.length === 0 ? 'nobody of the section' : `only ${there[0]}`} has complete takes of it in ${reader.place}`,
    `Takes are found by the names of the section file; the players there are ${names.length === 0 ? 'none yet' : names.join(', ')}. At a station: fettle work PASSAGE --part PART --player NAME.`,
  );
}

function stepKey({ drill, stepName, tempoBpm }: EntryHeading): string {
  return JSON.stringify([drill, stepName, tempoBpm]);
}

function lastDate(takes: readonly LastTake[]): string {
  return takes
    .map(({ heading }) => heading.date)
    .sort()
    .at(-1)!;
}

/** One of each step: the last that was played to its stop. */
async function lastTakes(
  reader: PracticeReader,
  player: SectionPlayer,
  passage: string,
  options: CompareOptions,
): Promise<EntryHeading[]> {
  const last = new Map<string, EntryHeading>();
  for (const { fingerprint, first, last: end } of await musicOf(player, passage, options)) {
    const filter = { ...filterOf(options), players: [player.name], fingerprint };
    for (const heading of await reader.headings(filter)) {
      const { stepFirst = 0, stepLast = 0 } = heading;
      if (!isComplete(heading) || stepFirst < first || stepLast > end) continue;
      const known = last.get(stepKey(heading));
      if (!known || known.date <= heading.date) last.set(stepKey(heading), heading);
    }
  }
  return [...last.values()];
}

interface Music {
  readonly fingerprint: string;
  readonly first: number;
  readonly last: number;
}

/** What a player may have played of the passage at a station: the own part, as read or as it sounds, or all of it. */
async function musicOf(
  { part, instrument }: SectionPlayer,
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
    span ? [{ fingerprint: passageFingerprint(span.passage), first: span.first, last: span.last }] : [],
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
  takes: readonly LastTake[],
  passage: Passage,
  json: boolean,
): Promise<void> {
  const stations = (await Promise.all(takes.map((one) => stationTake(reader, one)))).flatMap(
    (one) => one ?? [],
  );
  const { drill, stepName, tempoBpm } = takes[0]!.heading;
  const step = `${drill}, ${stepName}, at ${Math.round(tempoBpm)}`;
  if (stations.length < 2 || stations.some(({ playing }) => playing.terms.run.pulse === 'free')) {
    if (!json) print(`${step}: without a click there is nothing that the stations have in common.`);
    return;
  }
  const { verdict, results } = comparedTakes(stations);
  const report: SectionReport = {
    verdict,
    takes: results.map((result, i) => takeReport(result, stations[i]!.playing.terms.line, undefined)),
  };
  if (json) {
    const days = takes.map(({ heading }) => dayOf(heading));
    print(JSON.stringify({ drill, step: stepName, tempoBpm, days, ...sectionJson(report, passage) }));
    return;
  }
  const whose = takes.map(({ player, heading }) => `${player} ${whenWords(heading)}`).join(', ');
  await printFolded([`${step} (${whose}):`, ...sectionLines(report, passage)]);
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
