// `fettle check`: everything in a file that was not understood or left out, with its place.

import { EXIT } from '../problem.ts';
import { checkListing } from '../wording/listing/check.ts';
import { readPassageFile } from './passage-file.ts';
import { print } from './print.ts';

/** Exit status 3 when no passage can be made of the file, 0 otherwise, warnings or not. */
export async function check(argument: string): Promise<void> {
  const reading = await readPassageFile(argument);
  for (const line of checkListing(reading)) print(line);
  if (!reading.passage) process.exitCode = EXIT.unreadable;
}
