// How many cases a costly test tries. `npm test` takes a small part that is always the same size, `npm run test:slow`
// runs every file that imports this one with all of them; the assertions are the same.

/** True in `npm run test:slow`. */
export const WHOLE = process.env.FETTLE_SAMPLES === 'all';

/**
 * @param all in `npm run test:slow`
 * @param some in `npm test`
 */
export function sample(all: number, some: number): number {
  return WHOLE ? all : some;
}
