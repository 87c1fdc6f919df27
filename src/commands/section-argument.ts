// A section on the command line: its file read, its players given their parts of the passage, their inputs opened.

import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { whyNotOpened } from '../devices/file-bytes.ts';
import { sharedInput } from '../devices/shared-input.ts';
import { dealtOut } from '../drills/dealt-out.ts';
import type { Step } from '../drills/step.ts';
import type { Passage } from '../music/passage.ts';
import { partIndex } from '../notation/choice/part.ts';
import { PASSAGES_FOLDER } from '../passages-folder.ts';
import type { PlayerSource } from '../ports/player-source.ts';
import { EXIT, ProblemError } from '../problem.ts';
import {
  readSectionFile,
  type SectionFile,
  type SectionPlayer,
  sharedSeat,
} from '../section/section-file.ts';
import type { Player } from '../session/plan.ts';
import { Ensemble } from '../simulation/ensemble.ts';
import { Recordings } from '../simulation/recordings.ts';
import { TOLERANCES } from '../take/tolerance.ts';
import { isModel, isRecording, openSource, type SourceWorld } from './source-argument.ts';
import { need, usage } from './usage-problem.ts';

/** A file, or the bundled section of that name. Throws a ProblemError. */
export function loadSection(argument: string, without: readonly string[] = []): SectionFile {
  const bundled = /^[\w-]+$/.test(argument)
    ? fileURLToPath(new URL(`${argument}.section.json`, PASSAGES_FOLDER))
    : undefined;
  const text = readText(argument) ?? (bundled === undefined ? undefined : readText(bundled));
  if (text === undefined) {
    throw new ProblemError({
      code: 'section.missing',
      message: `Cannot open the section "${argument}": there is no such file`,
      hint: 'fettle section new FILE writes one; reeds is a bundled one, of simulated players.',
      exitStatus: EXIT.unreadable,
    });
  }
  const file = need(readSectionFile(text, argument));
  const unknown = without.find((name) => !file.players.some((one) => one.name === name));
  if (unknown !== undefined) {
    const names = file.players.map(({ name }) => name).join(', ');
    throw usage('section.player', `Cannot leave out "${unknown}": the players are ${names}`);
  }
  const players = file.players.filter(({ name }) => !without.includes(name));
  if (players.length === 0) throw usage('section.player', 'Cannot leave out all players: nobody would play');
  return { ...file, players };
}

/** Undefined where there is no such file. */
function readText(path: string): string | undefined {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw new ProblemError({
      code: 'section.missing',
      message: `Cannot open the section "${path}": ${whyNotOpened(error)}`,
      exitStatus: EXIT.unreadable,
    });
  }
}

/** The players of a section with their parts of the passage. Throws a ProblemError that names the player. */
export function seatedPlayers({ players }: SectionFile, passage: Passage): Player[] {
  return players.map(({ name, part, instrument, tolerance }) => ({
    id: name,
    name,
    ...(part === undefined ? {} : { parts: [partOf(passage, name, part)] }),
    ...(instrument === undefined ? {} : { instrument }),
    ...(tolerance === undefined ? {} : { tolerance: TOLERANCES[tolerance] }),
    lagMicros: 0,
    controls: { notes: {} },
  }));
}

function partOf(passage: Passage, name: string, part: string | number): number {
  const index = partIndex(passage, part);
  if (index.ok) return index.value;
  throw new ProblemError({
    ...index.problem,
    code: 'section.part',
    message: index.problem.message.replace(
      'Cannot choose the part',
      `Cannot give "${name}" the part ${part}`,
    ),
  });
}

/** Who has nothing to play in any of these steps. */
export function restingPlayers(
  players: readonly Player[],
  steps: readonly Step[],
  passage: Passage,
): string[] {
  return players.flatMap((player) => {
    const rests = steps.every((step) => dealtOut(step, [player], passage).lines[0]!.onsets.length === 0);
    return rests ? [player.name] : [];
  });
}

/** A source for each player, by name; inputs that several share are opened once. Throws a ProblemError that names the player. */
export async function openSeats(
  players: readonly SectionPlayer[],
  world: SourceWorld,
): Promise<ReadonlyMap<string, PlayerSource>> {
  const named = await Promise.all(
    players.map(async (player) => ({ ...player, input: await atSeat(player, () => inputOf(player.from)) })),
  );
  const shared = sharedSeat(named, ({ input }) => input);
  if (shared) throw new ProblemError(shared);
  const ensemble = new Ensemble();
  const recordings = new Recordings();
  const opened: PlayerSource[] = [];
  const sources = new Map<string, PlayerSource>();
  try {
    for (const one of named) {
      if (sources.has(one.name)) continue;
      const sitting = one.input === undefined ? [one] : named.filter(({ input }) => input === one.input);
      const source = await atSeat(one, () =>
        openSource({ from: one.input ?? one.from }, { ...world, ensemble, recordings }),
      );
      opened.push(source);
      const seats = sitting.map(({ channel, keys, shift }) => ({
        ...(channel === undefined ? {} : { channel }),
        ...(keys === undefined ? {} : { keys }),
        ...(shift === undefined ? {} : { shiftSemitones: shift }),
      }));
      for (const [i, own] of sharedInput(source, seats).entries()) sources.set(sitting[i]!.name, own);
    }
  } catch (error) {
    await Promise.allSettled(opened.map((source) => source.close()));
    throw error;
  }
  return new Map(players.map(({ name }) => [name, sources.get(name)!]));
}

/** The lasting name of what is played on; undefined for a model, of which everybody has their own. */
async function inputOf(from: string): Promise<string | undefined> {
  if (isModel(from)) return undefined;
  if (isRecording(from) || from === 'keys') return from;
  const { choosePort } = await import('../devices/midi-ports.ts');
  return need(await choosePort(from, 'input')).name;
}

async function atSeat<T>({ name }: SectionPlayer, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof ProblemError)) throw error;
    const { problem } = error;
    throw new ProblemError({
      ...problem,
      message: `${name}: ${problem.message}`,
      ...(problem.exitStatus === EXIT.device
        ? { hint: `${problem.hint ?? 'Plug it in.'} --without "${name}" begins without them.` }
        : {}),
    });
  }
}
