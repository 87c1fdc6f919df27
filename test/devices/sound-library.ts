// The sound library is optional: what needs it is skipped where it is not installed.

import { createRequire } from 'node:module';

export function hasSoundLibrary(): boolean {
  try {
    createRequire(import.meta.url).resolve('node-web-audio-api');
    return true;
  } catch {
    return false;
  }
}
