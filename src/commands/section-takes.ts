// The takes of a section in the practice record.

import { grouped } from '../music/grouped.ts';
import type { Span } from '../music/span.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { type SectionProgress, sectionProgress } from '../section/section-progress.ts';
import { type KeptSectionTake, sectionTakes } from '../section/section-take.ts';

/** Those that were worked within the span. */
export async function sectionTakesIn(
  reader: PracticeReader,
  section: string,
  { passage, first, last }: Span,
  filter: TakeFilter = {},
): Promise<KeptSectionTake[]> {
  const takes = await reader.summaries({ ...filter, section, fingerprint: passageFingerprint(passage) });
  return sectionTakes(takes.filter((take) => take.first >= first && take.last <= last));
}

export interface SectionPassage extends SectionProgress {
  /** As it was called the last time. */
  readonly passage: string;
}

export async function sectionPassages(
  reader: PracticeReader,
  section: string,
  filter: TakeFilter = {},
): Promise<SectionPassage[]> {
  const takes = await reader.summaries({ ...filter, section });
  return [...grouped(takes, ({ fingerprint, passage }) => fingerprint ?? passage).values()].flatMap((own) => {
    const progress = sectionProgress(sectionTakes(own));
    return progress.takes === 0 ? [] : [{ ...progress, passage: own.at(-1)!.passage }];
  });
}
