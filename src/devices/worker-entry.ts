// Starts a worker thread from the file beside this one, in whichever form this code runs: `.ts` from the sources
// (under tsx or vitest), `.js` from dist.

import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';

/** @param name the worker's file in this folder, without its ending */
export function startWorker(name: string, workerData: unknown): Worker {
  const fromSource = import.meta.url.endsWith('.ts');
  const file = new URL(`./${name}${fromSource ? '.ts' : '.js'}`, import.meta.url);
  if (!fromSource) return new Worker(file, { workerData, execArgv: [] });
  // By its full address: a bare 'tsx' would be looked for in the player's own folder.
  const loader = pathToFileURL(createRequire(import.meta.url).resolve('tsx')).href;
  return new Worker(file, { workerData, execArgv: ['--import', loader] });
}
