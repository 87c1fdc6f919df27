// `fettle show`: a passage with its bar and onset numbers, so that a player can name the place.

import { listPassage } from '../wording/listing/passage.ts';
import { loadSpan, type PassageOptions } from './passage-argument.ts';
import { print } from './print.ts';

export async function show(argument: string, options: PassageOptions): Promise<void> {
  const columns = process.stdout.columns ?? 80;
  const { passage, first, last } = await loadSpan(argument, options);
  for (const line of listPassage(passage, columns, { range: { first, last } })) print(line);
}
