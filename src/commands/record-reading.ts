// A practice record that is only read: the one on this computer, another file, or a studio's by its address.

import type { DatabaseRecord } from '../devices/database-record.ts';
import { lookAtPlace } from '../devices/record-file.ts';
import { damagedTake } from '../devices/record-trouble.ts';
import { isStudioAddress } from '../devices/studio-address.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import { EXIT, ProblemError } from '../problem.ts';
import type { Entry } from '../record/entry.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { readDay } from './day-argument.ts';
import { openOwnRecord, openRecordAt } from './own-record.ts';
import { placeOf, type RecordOptions } from './record-place.ts';
import { need, usage } from './usage-problem.ts';

export interface TakesOptions extends RecordOptions {
  readonly passage?: string;
  readonly from?: string;
  readonly to?: string;
}

/** Throws a ProblemError ('record.none') where there is none yet. */
export async function openExisting(options: RecordOptions): Promise<DatabaseRecord> {
  const place = await placeOf(options);
  const found = need(await lookAtPlace(place));
  if (found.kind === 'new') {
    throw new ProblemError({
      code: 'record.none',
      message: `There is no practice record yet: it will be ${place}`,
      hint: 'Work on something first: fettle work slipway.',
      exitStatus: EXIT.record,
    });
  }
  return openRecordAt(place);
}

/** Throws a ProblemError ('record.none') where there is none yet. */
export async function openReader(options: RecordOptions): Promise<PracticeReader> {
  const { record } = options;
  if (record === undefined || !isStudioAddress(record)) return (await openExisting(options)).reader();
  const { openStudioReader } = await import('../devices/studio.ts');
  return need(await openStudioReader(record));
}

/** The same, but a record that is not there yet is made: nothing has been practised in it. */
export async function openReaderOrNew(options: RecordOptions): Promise<PracticeReader> {
  const { record } = options;
  if (record !== undefined && isStudioAddress(record)) return openReader(options);
  return (await openOwnRecord(options)).reader();
}

/**
 * Whose takes are meant. On this computer everybody has a record of their own, and all that is in it is theirs. A record
 * that was named may hold several people's: then --player tells; undefined where it does not.
 * Throws a ProblemError for somebody who has no take in it.
 */
export async function whose(
  reader: PracticeReader,
  { record, player }: RecordOptions,
): Promise<readonly string[] | undefined> {
  if (record === undefined) return ownPlayers(reader, player);
  const players = await reader.players();
  if (players.length < 2 && !isStudioAddress(record)) return players;
  if (player === undefined) return players.length < 2 ? players : undefined;
  if (players.includes(player)) return [player];
  throw usage(
    'option.player',
    `Cannot find a take of ${player} in ${reader.place}`,
    players.length === 0 ? 'There is no take in it yet.' : `The players are ${players.join(', ')}.`,
  );
}

/** Whose record it is, under whatever names: others who played in a section here have takes in it that are not theirs. */
async function ownPlayers(reader: PracticeReader, player: string | undefined): Promise<readonly string[]> {
  const alone = await reader.soloists();
  return player === undefined || alone.includes(player) ? alone : [...alone, player];
}

/** Throws a ProblemError where it is not told who of several is meant. */
export async function whoseOwn(reader: PracticeReader, options: RecordOptions): Promise<readonly string[]> {
  const players = await whose(reader, options);
  if (players) return players;
  throw usage(
    'option.player',
    `Whose practice? There are several players in ${reader.place}`,
    `Add --player with one of ${(await reader.players()).join(', ')}.`,
  );
}

/** Which section is meant: the one that was named, or the only one there is. Throws a ProblemError. */
export async function whichSection(reader: PracticeReader, named: string | true): Promise<string> {
  const sections = await reader.sections();
  if (named === true && sections.length === 1) return sections[0]!;
  if (named !== true && sections.includes(named)) return named;
  const hint =
    sections.length === 0
      ? 'fettle section FILE PASSAGE plays; its takes are kept.'
      : `Add --section with one of ${sections.join(', ')}.`;
  throw usage('option.section', whyNoSection(named, sections, reader.place), hint);
}

function whyNoSection(named: string | true, sections: readonly string[], place: string): string {
  if (named !== true) return `Cannot find a take of the section "${named}" in ${place}`;
  if (sections.length === 0) return `Cannot tell of a section: none has played in ${place}`;
  return `Which section? There are several in ${place}`;
}

/** Whole entries in order of writing; throws a ProblemError at the first that is damaged. */
export async function* wholeEntries(reader: PracticeReader, filter: TakeFilter): AsyncGenerator<Entry> {
  for await (const { number, read } of reader.readAll(filter)) {
    if (!read.ok) throw new ProblemError(damagedTake(reader.place, `take ${number}`, read.why));
    yield read.value;
  }
}

/** The takes that are asked for, of whoever they are asked for. */
export async function takesAskedFor(reader: PracticeReader, options: TakesOptions): Promise<TakeFilter> {
  const { record, player } = options;
  const players = record === undefined || player === undefined ? undefined : await whose(reader, options);
  return { ...takeFilter(options), ...(players ? { players } : {}) };
}

export function takeFilter({ passage, from, to }: TakesOptions): TakeFilter {
  return {
    ...(passage === undefined ? {} : { passage }),
    ...(from === undefined ? {} : { from: readDay(from) }),
    ...(to === undefined ? {} : { to: readDay(to) }),
  };
}
