// A problem: the world's trouble (an unreadable file, a bad option, a missing device), told in one clear sentence:
// what, where, what to do. `code` and `exitStatus` are contract and tested; the prose may improve freely.
// Readers return problems as data beside what they could read; the command line prints them in one place.

/** Exit statuses, documented in the README. 0 is success. */
export const EXIT = {
  /** Ours: a bug. */
  internal: 1,
  /** A command, option or value that does not exist or is out of range. */
  usage: 2,
  /** A passage or a take that cannot be read. */
  unreadable: 3,
  /** A MIDI port or sound device that is missing or busy. */
  device: 4,
  /** The practice record cannot be read or written. */
  record: 5,
} as const;

export interface Problem {
  /** Stable, dotted: 'passage.missing', 'port.unknown'. */
  readonly code: string;
  readonly message: string;
  /** What to do about it. */
  readonly hint?: string;
  readonly exitStatus: number;
  /** Where in a file, when there is a place. */
  readonly place?: {
    readonly line?: number;
    readonly column?: number;
    readonly byte?: number;
    readonly bar?: number;
  };
}

/** Thrown at the edges only, where nothing can be returned; always carries a Problem. */
export class ProblemError extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(problem.message);
    this.name = 'ProblemError';
    this.problem = problem;
  }
}

/** A value or the problem that stood in its way. */
export type Result<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: Problem };

export function ok<T>(value: T): Result<T> {
  return { ok: true, value };
}

export function fail<T = never>(problem: Problem): Result<T> {
  return { ok: false, problem };
}
