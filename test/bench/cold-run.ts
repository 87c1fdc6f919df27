// A command as it is run: a new process, nothing warm.

import { execFileSync } from 'node:child_process';
import { built } from '../built.ts';

/** Seconds of `times` runs. The programs must be built: `setup` of built.ts. */
export function coldRuns(words: readonly string[], times = 3): number[] {
  return Array.from({ length: times }, () => {
    const began = process.hrtime.bigint();
    execFileSync(process.execPath, [built('src/main.ts'), ...words], { stdio: 'ignore' });
    return Number(process.hrtime.bigint() - began) / 1e9;
  });
}

/** @example againstBudget([1.2, 1.1], 2) // '1.20, 1.10 s  within 2 s' */
export function againstBudget(seconds: readonly number[], budgetSeconds: number): string {
  const said = Math.min(...seconds) <= budgetSeconds ? 'within' : 'OVER';
  return `${seconds.map((one) => one.toFixed(2)).join(', ')} s  ${said} ${budgetSeconds} s`;
}
