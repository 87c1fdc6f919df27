// A name for what something is, whatever it is called: the same music, the same step, the same take in two records.

import { createHash } from 'node:crypto';
import type { Line, Run } from '../drills/step.ts';
import type { Passage } from '../music/passage.ts';
import { type Entry, eventsOf } from './entry.ts';

/** Of the music as it is worked: its name, its title, its clefs and who wrote it make no difference. */
export function passageFingerprint(passage: Passage): string {
  const { name: _, title: __, composer: ___, clefs: ____, ...music } = passage;
  return fingerprint(music);
}

/** Of a step as it was asked, at whatever tempo. */
export function stepFingerprint(run: Run, line: Line): string {
  return fingerprint([{ ...run, tempo: { ...run.tempo, bpm: 0 } }, line]);
}

/** Of a take as it was played: what a judge says of it makes no difference. */
export function takeFingerprint(entry: Entry): string {
  const { sitting, order, date, player, passage } = entry;
  return fingerprint([sitting, order, date, player, passage, eventsOf(entry)]);
}

/** 128 bits of SHA-256 over JSON with its keys in order, as 32 hexadecimal digits. */
function fingerprint(value: unknown): string {
  return createHash('sha256').update(JSON.stringify(value, inOrder)).digest('hex').slice(0, 32);
}

/** Two objects that say the same are written the same, in whatever order they were made. */
function inOrder(_: string, value: unknown): unknown {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return value;
  return Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)));
}
