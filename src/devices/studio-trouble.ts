// What goes wrong with a studio's server, in our words. Codes: https://www.postgresql.org/docs/15/errcodes-appendix.html

import { EXIT, type Problem } from '../problem.ts';

interface Trouble {
  readonly code: string;
  readonly said: RegExp;
  readonly why: string;
  readonly hint: string;
}

/** By the server's SQLSTATE, or by the system's own code where there was no server. */
const TROUBLES: readonly Trouble[] = [
  {
    code: 'unreachable',
    said: /^(ECONNREFUSED|ENOTFOUND|EHOSTUNREACH|ENETUNREACH|ETIMEDOUT|ECONNRESET|EPIPE|EAI_AGAIN|ENOENT|57P0\d|08\w{3})$/,
    why: 'the server does not answer',
    hint: 'Is it running, and is the address right? What waits is sent later.',
  },
  {
    code: 'password',
    said: /^28\w{3}$/,
    why: 'the server does not let this login in',
    hint: 'The password comes from the address, PGPASSWORD or the file .pgpass.',
  },
  {
    code: 'database',
    said: /^3D000$/,
    why: 'there is no such database',
    hint: 'The last word of the address names it.',
  },
  {
    code: 'unprepared',
    said: /^(42P01|3F000)$/,
    why: 'it has no tables for takes, or none that this login may see',
    hint: 'Whoever owns the database makes them once (fettle record prepare ADDRESS) and grants the login fettle_station or fettle_teacher.',
  },
  {
    code: 'forbidden',
    said: /^42501$/,
    why: 'this login may not do that',
    hint: 'Stations need the role fettle_station, teachers fettle_teacher.',
  },
];

export function studioProblem(place: string, error: unknown): Problem {
  const { code, message } = told(error);
  const trouble =
    TROUBLES.find(({ said }) => said.test(code)) ??
    (/timeout|terminated|password must be a string|Connection/i.test(message)
      ? TROUBLES[/password/.test(message) ? 1 : 0]
      : undefined);
  return {
    code: `studio.${trouble?.code ?? 'trouble'}`,
    message: `Cannot use the studio's record ${place}: ${trouble?.why ?? message}`,
    ...(trouble ? { hint: trouble.hint } : {}),
    exitStatus: EXIT.record,
  };
}

/** The server refuses what was sent, not who sent it: 22 is a value, 23 a rule of the tables. */
export function isDataFault(error: unknown): boolean {
  return /^2[23]\w{3}$/.test(told(error).code);
}

function told(error: unknown): { readonly code: string; readonly message: string } {
  // Of a name with several addresses every one may have its own trouble.
  const [first] = error instanceof AggregateError ? error.errors : [error];
  const { code, message } = (first ?? error) as { code?: unknown; message?: unknown };
  return { code: typeof code === 'string' ? code : '', message: String(message ?? error) };
}
