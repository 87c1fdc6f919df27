// The takes in the record that a plan goes on from: the player's, or a section's as if one had played them.

import type { PracticeRecord } from '../ports/practice-record.ts';
import type { EntryHeading } from '../record/entry.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import { sectionHeadings } from '../section/section-take.ts';
import type { SessionPlan } from '../session/plan.ts';

/** Of the plan's music and span, in order of playing. `latest`: no more takes than these. */
export async function takesOfPlan(
  { span, section, players }: SessionPlan,
  record: PracticeRecord,
  latest?: number,
): Promise<readonly EntryHeading[]> {
  const { passage, first, last } = span;
  const worked = { fingerprint: passageFingerprint(passage), first, last };
  const most = latest === undefined ? {} : { limit: latest * players.length };
  return section
    ? sectionHeadings(await record.headings({ ...worked, ...most, section: section.name }))
    : record.headings({ ...worked, ...most, players: [players[0]!.id] });
}
