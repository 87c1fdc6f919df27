// How long a test may take. Only what hangs takes so long, however busy the machine is; no test has a limit of its own
// (test/architecture.test.ts).

/** `npm run test:slow`, which tries more, has four times as long. */
export const HANGS_MS = 300_000;

/** What a test waits for itself ends sooner than Vitest gives up, which could not say what came instead. */
export const PATIENCE_MS = 0.8 * HANGS_MS;
