// --keywork: what this instrument has of the keys that not every one of its family has.

import type { Keywork } from '../fingering/fingering.ts';
import { familyOf } from '../fingering/table.ts';
import { nearWord } from '../music/near-word.ts';
import type { Passage } from '../music/passage.ts';
import { usage } from './usage-problem.ts';

/** "left-e-flat", "high-f-sharp,no-low-b-flat": beside what is usual; undefined where nothing was told. */
export function readKeywork(text: string | undefined, { parts }: Passage): readonly Keywork[] | undefined {
  if (text === undefined) return undefined;
  const families = parts.flatMap(({ instrument }) => familyOf(instrument) ?? []);
  const known = [...new Set(families.flatMap(({ optional }) => optional))];
  const has = new Set(families.flatMap(({ usual }) => usual));
  const words = known.flatMap((key) => (has.has(key) ? [key, `no-${key}`] : [key]));
  for (const word of text.split(',')) {
    const without = /^no-(.*)$/.exec(word)?.[1];
    const key = known.find((one) => one === (without ?? word));
    if (!key) {
      const near = nearWord(word, words);
      throw usage(
        'option.keywork',
        `Cannot use the keywork "${word}": ${words.length > 0 ? `for this instrument it is ${words.join(', ')}` : 'no instrument here has any to choose'}`,
        near ? `Did you mean ${near}?` : undefined,
      );
    }
    if (without === undefined) has.add(key);
    else has.delete(key);
  }
  return [...has];
}
