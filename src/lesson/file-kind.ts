// What a file of Fettle's own says it is, in its first object.

import { EXCHANGE_KIND } from '../record/exchange-writer.ts';

export const LESSON_KIND = 'lesson';
export const RETURN_KIND = 'lesson return';

const WORDS: Readonly<Record<string, string>> = {
  [LESSON_KIND]: 'a lesson',
  [RETURN_KIND]: 'what came back of a lesson',
  [EXCHANGE_KIND]: 'a practice record that was exported',
};

/** The object that a text is, or that its first line is. */
export function readObject(text: string): Record<string, unknown> | undefined {
  const bare = text.replace(/^\uFEFF/, '');
  if (!/^\s*\{/.test(bare)) return undefined;
  const firstLine = bare.trimStart().split('\n', 1)[0]!;
  // Of lines of JSON the first is a whole object; of one object over many lines it is not.
  return parsed(firstLine) ?? parsed(bare);
}

/** The kind, where it is one of Fettle's own. */
export function kindOf(text: string): string | undefined {
  const kind = readObject(text)?.fettle;
  return typeof kind === 'string' && Object.hasOwn(WORDS, kind) ? kind : undefined;
}

/** @example kindWords({ fettle: 'lesson return' }) // 'what came back of a lesson' */
export function kindWords(found: Readonly<Record<string, unknown>> | undefined): string {
  const kind = found?.fettle;
  return (typeof kind === 'string' && WORDS[kind]) || 'something else';
}

function parsed(text: string): Record<string, unknown> | undefined {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : undefined;
  } catch {
    return undefined;
  }
}
