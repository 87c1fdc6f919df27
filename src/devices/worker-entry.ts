// Starts a worker thread from a source file, in whichever form this code runs: `.ts` from the sources
// (under tsx or vitest), `.js` from dist.

import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { type MessagePort, Worker } from 'node:worker_threads';

/**
 * @param stem the worker's file without its ending: new URL('./click-worker', import.meta.url)
 * @param transferList ports inside `workerData` that go over to the thread
 */
export function startWorker(stem: URL, workerData: unknown, transferList: MessagePort[] = []): Worker {
  const fromSource = import.meta.url.endsWith('.ts');
  const file = new URL(`${stem.href}${fromSource ? '.ts' : '.js'}`);
  if (!fromSource) return new Worker(file, { workerData, transferList, execArgv: [] });
  // From the sources the thread needs the loader of its own, by its full address: a bare name would be looked for in
  // the player's own folder.
  const loader = createRequire(import.meta.url).resolve('tsx/package.json');
  const api = new URL('./dist/esm/api/index.mjs', pathToFileURL(loader)).href;
  const start = `import(${JSON.stringify(api)}).then(({ register }) => {
    register();
    return import(${JSON.stringify(file.href)});
  });`;
  return new Worker(start, { eval: true, workerData, transferList, execArgv: [] });
}
