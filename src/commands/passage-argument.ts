// The passage that a command works on: read, its part and its span chosen.

import type { Passage } from '../music/passage.ts';
import type { Span } from '../music/span.ts';
import { withGroups } from '../notation/choice/groups.ts';
import { chooseSpan } from '../notation/choice/span.ts';
import { EXIT, ProblemError } from '../problem.ts';
import { type PartOptions, withInstrument, withPart } from './part-argument.ts';
import { readPassageFile } from './passage-file.ts';
import { printTrouble } from './print.ts';
import { need, usage } from './usage-problem.ts';

export interface PassageOptions extends PartOptions {
  readonly bars?: string;
  readonly onsets?: string;
  readonly mark?: string;
  /** How bars of unequal beats are felt. */
  readonly groups?: string;
}

/** The passage a command works on: read, its part chosen, transposed where asked. Throws a ProblemError. */
export async function loadPassage(argument: string, options: PassageOptions): Promise<Passage> {
  const reading = await readPassageFile(argument);
  if (!reading.passage) {
    const first = reading.issues.find((issue) => issue.severity === 'error');
    throw new ProblemError({
      code: 'passage.unreadable',
      message: first?.message.startsWith('Cannot ')
        ? first.message
        : `Cannot read ${argument}: ${first?.message ?? 'no music was found in it'}`,
      hint:
        first?.code === 'file.damaged'
          ? 'It is damaged or something else: copy it or export it again from where it was made.'
          : `Everything that was not understood: fettle check ${argument}`,
      exitStatus: EXIT.unreadable,
    });
  }
  if (options.instrument === undefined) {
    for (const { code, message } of reading.issues) {
      if (code.startsWith('instrument.')) printTrouble(`! ${message}`);
    }
  }
  // A MIDI file says what sounds; the other forms say what is written.
  const kept = /\.(mid|midi|smf)$/i.test(argument) ? 'sounding' : 'written';
  const passage = withInstrument(withPart(reading.passage, options), options.instrument, kept);
  return options.groups === undefined ? passage : need(withGroups(passage, options.groups));
}

export async function loadSpan(argument: string, options: PassageOptions): Promise<Span> {
  return need(chooseSpan(await loadPassage(argument, options), options));
}

/** A keyboard may be written as two parts, a hand each; more are more players. */
export const MOST_OWN_PARTS = 2;

/**
 * The span that one player is to play. Throws a ProblemError that names the parts where there are several and none was
 * chosen.
 */
export async function loadOwnSpan(argument: string, options: PassageOptions): Promise<Span> {
  const passage = await loadPassage(argument, options);
  const { parts } = passage;
  if (parts.length > MOST_OWN_PARTS && options.part === undefined) {
    throw usage(
      'part.which',
      `Cannot tell which part of ${argument} is yours: it has ${parts.length}`,
      `Name one, such as --part 1: ${parts.map(({ name }, i) => `${i + 1} ${name}`).join(', ')}. --part all takes them together.`,
    );
  }
  return need(chooseSpan(passage, options));
}
