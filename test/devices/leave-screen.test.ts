// A program that ends on a real terminal (a pseudo-terminal), in whatever way.

import { describe, expect, it } from 'vitest';
import { isRestored, seat } from '../pseudo-terminal.ts';
import { sample } from '../sample.ts';

describe('the screen of a program', () => {
  async function run(how: string, ...signals: string[]): Promise<{ output: string; status: number }> {
    const seated = seat('test/devices/leave-screen.ts', [how], {
      env: { TERM: 'screen-256color' },
    });
    await seated.until('on the screen');
    for (const signal of signals) seated.kill(signal);
    return { status: await seated.ended, output: seated.bytes() };
  }

  // The numbers of the signals are Linux's (signal(7), x86 and ARM).
  const ways = [
    ['closes the screen itself', 'close', [], 0],
    ['ends without closing it', 'exit', [], 7],
    ['crashes', 'throw', [], 1],
    ['is told to end', 'wait', ['SIGTERM'], 143],
    ['loses its window', 'wait', ['SIGHUP'], 129],
    ['is interrupted', 'wait', ['SIGINT'], 130],
    ['is told to quit', 'wait', ['SIGQUIT'], 131],
    ['is aborted', 'wait', ['SIGABRT'], 134],
    ['gets a signal without a meaning', 'wait', ['SIGUSR2'], 140],
    ['gets an alarm', 'wait', ['SIGALRM'], 142],
    ['is told twice while it is busy ending', 'slowly', ['SIGTERM', 'SIGTERM'], 143],
    ['does not come to an end by itself', 'never', ['SIGTERM'], 143],
  ] as const;

  it.each(ways.slice(0, sample(ways.length, 4)))(
    'is restored when it %s',
    async (_, how, signals, expected) => {
      const { output, status } = await run(how, ...signals);
      expect(isRestored(output)).toBe(true);
      expect(status).toBe(expected);
    },
  );
});
