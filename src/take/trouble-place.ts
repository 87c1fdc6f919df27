// Where in a line a trouble stands.

import type { Trouble } from './verdict.ts';

/** Index of the onset at which it was, or into which its interval leads; undefined where it was the take as a whole. */
export function troublePlace(trouble: Trouble): number | undefined {
  switch (trouble.kind) {
    case 'wrong':
    case 'missed':
    case 'displaced':
    case 'chord':
    case 'touch':
      return trouble.onset;
    case 'extra':
    case 'blip':
    case 'restart':
      return trouble.before;
    case 'rushed':
    case 'dragged':
    case 'hesitated':
      return trouble.interval.to;
    default:
      return undefined;
  }
}
