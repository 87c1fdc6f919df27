// Runs a command line in this process and keeps what it printed.

import { vi } from 'vitest';
import { runProgram } from '../../src/commands/program.ts';

export interface Ran {
  readonly status: number;
  readonly out: string;
  readonly err: string;
}

export async function fettle(line: string | readonly string[]): Promise<Ran> {
  const out: string[] = [];
  const err: string[] = [];
  const spies = [
    vi.spyOn(console, 'log').mockImplementation((...words) => void out.push(words.join(' '))),
    vi.spyOn(console, 'error').mockImplementation((...words) => void err.push(words.join(' '))),
    vi.spyOn(process.stdout, 'write').mockImplementation((text) => Boolean(out.push(String(text)))),
    vi.spyOn(process.stderr, 'write').mockImplementation((text) => Boolean(err.push(String(text)))),
  ];
  try {
    const status = await runProgram(
      typeof line === 'string' ? line.split(' ').filter((word) => word !== '') : line,
    );
    return { status, out: out.join('\n'), err: err.join('\n') };
  } finally {
    for (const spy of spies) spy.mockRestore();
  }
}
