// What the database libraries say, and what it is in our words.

import { EXIT, type Problem } from '../problem.ts';

/** `which`: "take 7", "a passage". */
export function damagedTake(place: string, which: string, why: string): Problem {
  return {
    code: 'record.corrupt',
    message: `Cannot read the practice record ${place}: ${which} is damaged (${why})`,
    hint: 'fettle record verify lists what is damaged; everything else can be exported.',
    exitStatus: EXIT.record,
  };
}

export function recordProblem(action: 'open' | 'read' | 'write', file: string, error: unknown): Problem {
  const why = error instanceof Error ? error.message : String(error);
  const kind = TROUBLES.find(({ said }) => said.test(why)) ?? OTHER_TROUBLE;
  return {
    code: `record.${kind.code}`,
    message: `Cannot ${action} the practice record ${file}: ${kind.why ?? why}`,
    hint: kind.hint,
    exitStatus: EXIT.record,
  };
}

/** By SQLite's own messages. */
const TROUBLES = [
  {
    code: 'locked',
    said: /locked|busy/i,
    why: 'another program holds it',
    hint: 'Close the other program and try again.',
  },
  {
    code: 'full',
    said: /is full|no space/i,
    why: 'the disk is full',
    hint: 'Make room on it, or give another file for the record.',
  },
  {
    code: 'read-only',
    said: /readonly|read-only/i,
    why: 'it may not be written to',
    hint: 'Allow writing to the file and its folder, or give another file.',
  },
  {
    code: 'corrupt',
    said: /not a database|malformed|corrupt|unknown kind|event bytes|a row is not|JSON/i,
    why: 'the file is damaged',
    hint: 'Move the file away to start a new record; keep it, for the tools of SQLite may save what is whole in it.',
  },
];

const OTHER_TROUBLE = {
  code: 'unwritable',
  why: undefined,
  hint: 'Look at the folder: is it writable, is the disk full?',
};
