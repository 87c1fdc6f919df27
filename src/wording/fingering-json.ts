// `fettle fingering --json`, format 1: the plan for other programs (DEVELOPERS.md has the format).

import { SOURCES } from '../fingering/fingering.ts';
import type { PartPlan } from '../fingering/passage-plan.ts';
import { spellingName } from '../music/pitch.ts';
import type { Span } from '../music/span.ts';
import { changeWords, decisionSentence, lineNames } from './fingering.ts';

export function fingeringJson({ passage, first, last }: Span, plans: readonly PartPlan[]) {
  return {
    format: 1,
    passage: passage.name,
    parts: plans.map((plan) => ({
      part: passage.parts[plan.part]!.name,
      instrument: passage.parts[plan.part]!.instrument,
      notes: noteRows(plan).filter(({ onset }) => onset >= first && onset <= last),
    })),
  };
}

function noteRows({ notes, plan, decisions, slides, demands }: PartPlan) {
  const names = lineNames(notes);
  const why = new Map(decisions.map((one) => [one.note, decisionSentence(one, names)]));
  const slid = new Map(slides.map(({ note, shift }) => [note, shift]));
  const asked = new Map(demands.map((one) => [one.note, one]));
  return notes.map((note, i) => {
    const fingering = plan[i];
    const slide = slid.get(i);
    const demand = asked.get(i);
    return {
      onset: note.onset + 1,
      note: spellingName(note.spelling),
      ...(note.grace ? { grace: true } : {}),
      ...(fingering
        ? {
            keys: fingering.keys,
            ...(fingering.name === '' ? {} : { name: fingering.name }),
            standard: fingering.rank === 0,
            grade: fingering.grade,
            source: SOURCES[fingering.source],
          }
        : { outside: true }),
      ...(why.has(i) ? { why: why.get(i) } : {}),
      ...(slide ? { slide: { digit: slide.digit, from: slide.from, to: slide.to } } : {}),
      ...(demand ? { change: changeWords(demand.change), cost: demand.cost } : {}),
    };
  });
}
