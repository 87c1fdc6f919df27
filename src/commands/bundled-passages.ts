// The music that comes with Fettle, by name.

import { readdirSync } from 'node:fs';
import { basename, extname } from 'node:path';
import { fileURLToPath } from 'node:url';

const BUNDLED = new URL('../../passages/', import.meta.url);

export function bundledNames(): string[] {
  const files = readdirSync(fileURLToPath(BUNDLED)).filter((file) => file.endsWith('.abc'));
  return files.map((file) => basename(file, extname(file))).sort();
}

/** Where a bundled passage is; undefined when there is none of that name. */
export function bundledPath(name: string): string | undefined {
  return bundledNames().includes(name) ? fileURLToPath(new URL(`${name}.abc`, BUNDLED)) : undefined;
}
