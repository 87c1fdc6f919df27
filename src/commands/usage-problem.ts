// What a command throws when it cannot do what was asked: told in one place (program.ts), as all other trouble.

import { EXIT, type Problem, ProblemError, type Result } from '../problem.ts';

/** The value, or the problem thrown to the one place that prints it. */
export function need<T>(result: Result<T>): T {
  if (result.ok) return result.value;
  throw new ProblemError(result.problem);
}

export function usage(code: string, message: string, hint?: string): ProblemError {
  const problem: Problem = { code, message, exitStatus: EXIT.usage, ...(hint ? { hint } : {}) };
  return new ProblemError(problem);
}
