// Before each test file: settings and a record of its own. Nobody's own are touched, and what one file keeps there no
// other file finds, nor another run at the same time.

import { ownFolder } from './own-folder.ts';

process.env.FETTLE_HOME = ownFolder();
