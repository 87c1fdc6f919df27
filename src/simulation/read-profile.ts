// Reads the text that names a simulated player: `model`, `model:pupil`, `model:pupil,seed=7,snag=5:rushed`. A snag
// is the number of the onset where the interval begins; it may be given several times.

import { nearWord } from '../music/near-word.ts';
import { EXIT, fail, ok, type Result } from '../problem.ts';
import { type PlantedSnag, SNAG_WORDS, type SnagWord } from './planted-snag.ts';
import { isProfileName, PROFILE_NAMES, PROFILES, type Profile } from './profile.ts';

export interface ModelSettings {
  readonly profile: Profile;
  /** Integer, 0 or more. */
  readonly seed: number;
  readonly snags: readonly PlantedSnag[];
}

const OPTIONS = ['seed', 'snag'];

/** The player when none is named. */
const USUAL_PROFILE = 'pupil';

/** Problem codes: 'model.profile', 'model.option', 'model.seed', 'model.snag'. */
export function readProfile(text: string): Result<ModelSettings> {
  const rest = text.replace(/^model(?=$|[:,])[:,]?/, '');
  const words = rest === '' ? [] : rest.split(',');
  const name = words[0] === undefined || words[0].includes('=') ? USUAL_PROFILE : words.shift()!.trim();
  if (!isProfileName(name)) {
    return slip('model.profile', `Cannot simulate "${name}": there is no such player`, name, PROFILE_NAMES);
  }
  let seed = 1;
  const snags: PlantedSnag[] = [];
  for (const word of words) {
    const [key, value = ''] = word.split('=', 2).map((part) => part.trim());
    if (key === 'seed') {
      if (!/^\d{1,15}$/.test(value))
        return bad('model.seed', `seed "${value}"`, 'a whole number, such as seed=7');
      seed = Number(value);
    } else if (key === 'snag') {
      const snag = readSnag(value);
      if (!snag.ok) return snag;
      snags.push(snag.value);
    } else {
      return slip(
        'model.option',
        `Cannot simulate a player with "${word}": there is no such option`,
        key!,
        OPTIONS,
      );
    }
  }
  return ok({ profile: PROFILES[name], seed, snags });
}

function readSnag(value: string): Result<PlantedSnag> {
  const [number = '', word = 'mixed'] = value.split(':', 2);
  if (!/^[1-9]\d{0,5}$/.test(number)) {
    return bad(
      'model.snag',
      `snag "${value}"`,
      'the number of an onset, from 1, such as snag=5 or snag=5:rushed',
    );
  }
  if (!isSnagWord(word)) {
    return slip(
      'model.snag',
      `Cannot plant a snag of kind "${word}": there is no such kind`,
      word,
      SNAG_WORDS,
    );
  }
  return ok({ onset: Number(number), word });
}

function isSnagWord(text: string): text is SnagWord {
  return (SNAG_WORDS as readonly string[]).includes(text);
}

function bad<T>(code: string, what: string, wanted: string): Result<T> {
  return fail({
    code,
    message: `Cannot simulate a player with ${what}: it must be ${wanted}`,
    exitStatus: EXIT.usage,
  });
}

function slip<T>(code: string, message: string, text: string, words: readonly string[]): Result<T> {
  const near = nearWord(text, words);
  const choice = `Choose from ${words.join(', ')}.`;
  return fail({
    code,
    message,
    hint: near === undefined ? choice : `Did you mean ${near}? ${choice}`,
    exitStatus: EXIT.usage,
  });
}
