// How long a sheet of two pages takes as a PDF, from a cold start, and how large it is.

import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setup } from '../built.ts';
import { againstBudget, coldRuns } from './cold-run.ts';

const BUDGET_SECONDS = 3;
const BUDGET_BYTES = 100_000;

export async function benchSheet(): Promise<void> {
  setup();
  const folder = mkdtempSync(join(tmpdir(), 'fettle-bench-'));
  try {
    const file = join(folder, 'sheet.pdf');
    const times = coldRuns(['sheet', 'slipway', '--bars', '1-2', '--out', file, '--force']);
    const { size } = statSync(file);
    const said = size <= BUDGET_BYTES ? 'within' : 'OVER';
    console.log(`sheet: two pages as a PDF  ${againstBudget(times, BUDGET_SECONDS)}`);
    console.log(`sheet: its size  ${Math.ceil(size / 1000)} kB  ${said} ${BUDGET_BYTES / 1000} kB`);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
