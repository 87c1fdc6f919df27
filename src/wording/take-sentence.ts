// The sentence about a player's take in a session.

import type { Passage } from '../music/passage.ts';
import type { TakeEnd } from '../record/entry.ts';
import type { TakeReport } from '../session/take-report.ts';
import { noteNames } from './note-names.ts';
import { sentence } from './sentence.ts';

export function takeSentence({ line, ...report }: TakeReport, passage: Passage): string {
  return sentence(report, noteNames(passage, line.onsets, line.transposition));
}

/** What is kept of a take without a verdict. */
export function brokenOffSentence(end: TakeEnd): string {
  return BROKEN_OFF[end];
}

const BROKEN_OFF: Record<TakeEnd, string> = {
  stopped: 'Played to the stop.',
  slipped: 'Stopped after a slip.',
  paused: 'Broken off by a pause.',
  skipped: 'Skipped.',
  retaken: 'Broken off to start again.',
  quit: 'Broken off at the end of the session.',
  lost: 'Broken off: the instrument was lost.',
};
