// What a player may have meant by the name of a passage that is not there: a bundled one, a file beside it, or a file of
// which the ending was left out.

import { readdirSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import { nearWord } from '../music/near-word.ts';
import { bundledNames } from './bundled-passages.ts';

export const MUSIC_ENDINGS = ['.abc', '.musicxml', '.xml', '.mxl', '.mid', '.midi'];

/** The files in a folder that may hold music, by name; none where it cannot be read. */
export function musicFiles(folder: string, endings: readonly string[] = MUSIC_ENDINGS): string[] {
  try {
    return readdirSync(folder, { withFileTypes: true })
      .filter((entry) => !entry.isDirectory() && endings.includes(extname(entry.name).toLowerCase()))
      .map(({ name }) => name)
      .sort();
  } catch {
    return [];
  }
}

/** The nearest name as it is typed, if one is near. */
export function nearPassage(argument: string): string | undefined {
  const folder = dirname(argument);
  const files = musicFiles(folder);
  const asked = basename(argument);
  const whole = files.find((file) => basename(file, extname(file)) === asked);
  const bundled = folder === '.' ? bundledNames() : [];
  const near = whole ?? nearWord(asked, [...bundled, ...files]) ?? nearByName(asked, files);
  if (near === undefined || bundled.includes(near)) return near;
  return /^\.[/\\]|[/\\]/.test(argument) ? join(folder, near) : near;
}

/** The file whose name without its ending is near. */
function nearByName(asked: string, files: readonly string[]): string | undefined {
  const bare = (file: string) => basename(file, extname(file));
  const near = nearWord(bare(asked), files.map(bare));
  return files.find((file) => bare(file) === near);
}
