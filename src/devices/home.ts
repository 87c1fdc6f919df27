// Where all that Fettle keeps for its players lies on this computer: in the folders that the system has for it, or all
// of it in FETTLE_HOME.

import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';

/**
 * The practice record's own place: `practice.db`, one for each player who has given a name and one for whoever has not.
 */
export async function recordPlace(player?: string): Promise<string> {
  const { data } = await folders();
  // On some systems names of folders that differ only in capital letters are the same.
  return player === undefined
    ? join(data, 'practice.db')
    : join(data, 'players', player.toLowerCase(), 'practice.db');
}

/** The names of those who have a record of their own here, as their folders are called; sorted. */
export async function recordedPlayers(): Promise<string[]> {
  const players = join((await folders()).data, 'players');
  if (!existsSync(players)) return [];
  return readdirSync(players)
    .filter((name) => existsSync(join(players, name, 'practice.db')))
    .sort();
}

export async function settingsPlace(): Promise<string> {
  return join((await folders()).config, 'settings.json');
}

async function folders(): Promise<{ readonly data: string; readonly config: string }> {
  const home = process.env.FETTLE_HOME;
  if (home !== undefined && home !== '') return { data: home, config: home };
  const { default: envPaths } = await import('env-paths');
  return envPaths('fettle', { suffix: '' });
}
