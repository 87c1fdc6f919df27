// What a player has set once and for all, in a small file of text that can be read and mended by hand.

import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { EXIT, fail, ok, type Result } from '../problem.ts';
import { whyNotOpened, whyNotWritten } from './file-bytes.ts';
import { settingsPlace } from './home.ts';

export type KeptSettings = Readonly<Record<string, string>>;

/** None where nothing was ever set. Problem 'settings.unreadable'. */
export async function readSettings(): Promise<Result<KeptSettings>> {
  const place = await settingsPlace();
  try {
    const kept: unknown = JSON.parse(readFileSync(place, 'utf8'));
    if (isSettings(kept)) return ok(kept);
    return trouble(place, 'it is not a list of names and values');
  } catch (error) {
    if (error instanceof SyntaxError) return trouble(place, 'it is no JSON, or it is cut off');
    const isNone = (error as NodeJS.ErrnoException).code === 'ENOENT';
    return isNone ? ok({}) : trouble(place, whyNotOpened(error));
  }
}

/** All at once or not at all. Problem 'settings.unwritable'. */
export async function writeSettings(settings: KeptSettings): Promise<Result<void>> {
  const place = await settingsPlace();
  try {
    mkdirSync(dirname(place), { recursive: true });
    writeFileSync(`${place}.new`, `${JSON.stringify(settings, null, 2)}\n`);
    renameSync(`${place}.new`, place);
    return ok(undefined);
  } catch (error) {
    return fail({
      code: 'settings.unwritable',
      message: `Cannot keep the settings in ${place}: ${whyNotWritten(error)}`,
      hint: 'Another place can be given in FETTLE_HOME.',
      exitStatus: EXIT.record,
    });
  }
}

function isSettings(kept: unknown): kept is KeptSettings {
  return (
    typeof kept === 'object' &&
    kept !== null &&
    !Array.isArray(kept) &&
    Object.values(kept).every((value) => typeof value === 'string')
  );
}

function trouble(place: string, why: string): Result<never> {
  return fail({
    code: 'settings.unreadable',
    message: `Cannot read the settings in ${place}: ${why}`,
    hint: 'Mend the file, or remove it to begin anew.',
    exitStatus: EXIT.record,
  });
}
