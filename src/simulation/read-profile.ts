// Reads the text that names a simulated player: `model`, `model:pupil`, `model:pupil,seed=7,snag=5:rushed`. A snag
// is the number of the onset where the interval begins; it may be given several times. `offset=20` (milliseconds late)
// and `sd=8` (spread of every onset about its place) take the place of the profile's own timing; `gain=0.25` makes good
// that share of the distance to every other such player of a section, whom it hears `delay=10` milliseconds late.

import { nearWord } from '../music/near-word.ts';
import { EXIT, fail, ok, type Result } from '../problem.ts';
import type { CouplingSettings } from './ensemble.ts';
import { type PlantedSnag, SNAG_WORDS, type SnagWord } from './planted-snag.ts';
import { isProfileName, PROFILE_NAMES, PROFILES, type Profile } from './profile.ts';

export interface ModelSettings {
  readonly profile: Profile;
  /** Integer, 0 or more. */
  readonly seed: number;
  readonly snags: readonly PlantedSnag[];
  /** Listens to the other simulated players of the section. */
  readonly coupling?: CouplingSettings;
}

const OPTIONS = ['seed', 'snag', 'offset', 'sd', 'gain', 'delay'];

/** The player when none is named. */
const USUAL_PROFILE = 'pupil';

/** Problem codes: 'model.profile', 'model.option', 'model.seed', 'model.snag', 'model.number'. */
export function readProfile(text: string): Result<ModelSettings> {
  const rest = text.replace(/^model(?=$|[:,])[:,]?/, '');
  const words = rest === '' ? [] : rest.split(',');
  const name = words[0] === undefined || words[0].includes('=') ? USUAL_PROFILE : words.shift()!.trim();
  if (!isProfileName(name)) {
    return slip('model.profile', `Cannot simulate "${name}": there is no such player`, name, PROFILE_NAMES);
  }
  let seed = 1;
  const snags: PlantedSnag[] = [];
  const numbers: Partial<Record<NumberOption, number>> = {};
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
    } else if (isNumberOption(key!)) {
      const { least, most } = NUMBERS[key];
      const number = Number(value);
      if (value === '' || !(number >= least && number <= most))
        return bad('model.number', `${key} "${value}"`, `a number from ${least} to ${most}`);
      numbers[key] = number;
    } else {
      return slip(
        'model.option',
        `Cannot simulate a player with "${word}": there is no such option`,
        key!,
        OPTIONS,
      );
    }
  }
  const { offset, sd, gain, delay } = numbers;
  const profile: Profile = {
    ...PROFILES[name],
    ...(offset === undefined ? {} : { lagMicros: Math.round(1000 * offset) }),
    ...(sd === undefined ? {} : { motorSdMicros: 1000 * sd, clockShare: 0, bias: 0, correction: 0 }),
  };
  const coupled = gain !== undefined || delay !== undefined;
  const coupling = { gain: gain ?? 0, delayMicros: Math.round(1000 * (delay ?? 0)) };
  return ok({ profile, seed, snags, ...(coupled ? { coupling } : {}) });
}

/** Milliseconds, and for the gain a share. */
const NUMBERS = {
  offset: { least: -500, most: 500 },
  sd: { least: 0, most: 200 },
  gain: { least: 0, most: 2 },
  delay: { least: 0, most: 500 },
} as const;

type NumberOption = keyof typeof NUMBERS;

function isNumberOption(text: string): text is NumberOption {
  return Object.hasOwn(NUMBERS, text);
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
