// Which music of a passage: part, voice, hand, the upper line, the instrument it is written for.

import { INSTRUMENT_NAMES, type InstrumentName, isInstrumentName } from '../music/instrument.ts';
import { nearWord } from '../music/near-word.ts';
import type { Passage } from '../music/passage.ts';
import { choosePart, transposeForInstrument } from '../notation/choice/part.ts';
import { wholeNumber } from './number-argument.ts';
import { need, usage } from './usage-problem.ts';

/** The word by which `--part` means all of them. */
export const ALL_PARTS = 'all';

export interface PartOptions {
  readonly part?: string;
  readonly voice?: string;
  readonly hand?: string;
  readonly melody?: boolean;
  readonly instrument?: string;
}

/** The chosen part. Throws a ProblemError. */
export function withPart(passage: Passage, options: PartOptions): Passage {
  const { part, voice, hand, melody } = options;
  if (part === undefined && voice === undefined && hand === undefined && !melody) return passage;
  return need(choosePart(passage, partChoice(options)));
}

/**
 * The passage as written for the instrument that was asked for. `kept` says what stays: what sounds (a MIDI file) or what
 * is written (the other forms).
 */
export function withInstrument(
  passage: Passage,
  name: string | undefined,
  kept: 'sounding' | 'written',
): Passage {
  return name === undefined ? passage : transposeForInstrument(passage, knownInstrument(name), kept);
}

/** Throws a ProblemError. */
export function knownInstrument(name: string): InstrumentName {
  if (isInstrumentName(name)) return name;
  const near = nearWord(name, INSTRUMENT_NAMES);
  throw usage(
    'instrument.unknown',
    `Cannot use the instrument "${name}": it is not known`,
    near
      ? `Did you mean ${near}? All: ${INSTRUMENT_NAMES.join(', ')}`
      : `Known: ${INSTRUMENT_NAMES.join(', ')}`,
  );
}

function partChoice(options: PartOptions): Parameters<typeof choosePart>[1] {
  const { part, voice, hand } = options;
  if (hand !== undefined && hand !== 'left' && hand !== 'right' && hand !== 'both') {
    throw usage('option.hand', `Cannot use the hand "${hand}": left, right or both is needed`);
  }
  return {
    ...(part === undefined || part === ALL_PARTS ? {} : { part: /^\d+$/.test(part) ? Number(part) : part }),
    ...(voice === undefined ? {} : { voice: wholeNumber(voice, 'the voice', { least: 1, most: 99 }) }),
    ...(hand === undefined ? {} : { hand }),
    ...(options.melody ? { line: 'melody' as const } : {}),
  };
}
