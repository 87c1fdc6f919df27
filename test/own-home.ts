// Before each test file: settings and a record of its own. Nobody's own are touched, and what one file keeps there no
// other file finds, nor another run at the same time.

import { mkdirSync, mkdtempSync } from 'node:fs';
import { join } from 'node:path';

const folder = process.env.FETTLE_TESTS!;
mkdirSync(folder, { recursive: true });
process.env.FETTLE_HOME = mkdtempSync(join(folder, 'home-'));
