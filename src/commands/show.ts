// `fettle show`: a passage with its bar and onset numbers, so that a player can name the place.

import { listPassage } from '../notation/listing.ts';
import { loadPassage, type PassageOptions } from './passage-argument.ts';

export async function show(argument: string, options: PassageOptions): Promise<void> {
  const columns = process.stdout.columns ?? 80;
  for (const line of listPassage(await loadPassage(argument, options), columns)) console.log(line);
}
