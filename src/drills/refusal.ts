// How a drill says no: a problem of the command line's kind, with what to do about it. Nothing half-made is returned.

import { EXIT, fail, type Result } from '../problem.ts';

/** `code` without its prefix; `message` "Cannot <action>: <current state>". */
export function refuse<T = never>(code: string, message: string, hint?: string): Result<T> {
  return fail<T>({ code: `drill.${code}`, message, exitStatus: EXIT.usage, ...(hint ? { hint } : {}) });
}
