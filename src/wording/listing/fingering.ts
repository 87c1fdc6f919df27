// What `fettle fingering PASSAGE` prints: the passage with the fingerings that need a decision under its notes, why each
// was taken, where a finger slides, and which changes will be hard.

import { hardestFirst } from '../../fingering/demand.ts';
import type { PartPlan } from '../../fingering/passage-plan.ts';
import { spellingName } from '../../music/pitch.ts';
import type { Span } from '../../music/span.ts';
import { changeWords, decisionSentence, fingeringMarks, lineNames, slideSentence } from '../fingering.ts';
import { listPassage } from './passage.ts';

/** More than these nobody keeps in mind. */
const MOST_HARD = 5;

export function listFingering(
  { passage, first, last }: Span,
  plans: readonly PartPlan[],
  columns = 80,
): string[] {
  const marks = new Map(plans.map((plan) => [plan.part, fingeringMarks(plan)]));
  const drawn = listPassage(passage, columns, {
    range: { first, last },
    fingers: (part) => marks.get(part) ?? new Map(),
  });
  const told = plans.flatMap((plan) => {
    const within = (note: number) => {
      const number = plan.notes[note]!.onset + 1;
      return number >= first && number <= last;
    };
    const lines = partLines(plan, within);
    if (plans.length === 1) return lines;
    return ['', `Part ${plan.part + 1}: ${passage.parts[plan.part]!.name}`, ...lines];
  });
  const without = passage.parts.flatMap(({ name }, part) => (marks.has(part) ? [] : [name]));
  const left = without.length > 0 ? ['', `No table, so no fingerings: ${without.join(', ')}.`] : [];
  return [...drawn, ...told, ...left];
}

function partLines(part: PartPlan, within: (note: number) => boolean): string[] {
  const { notes, plan, table } = part;
  const names = lineNames(notes);
  const decided = part.decisions.filter(({ note }) => within(note));
  const believed = plan.flatMap((fingering, note) =>
    fingering?.grade === 'B' && within(note)
      ? [fingering.source === 'rule' ? 'notes with the B-flat key held' : names(note)]
      : [],
  );
  const outside = plan.flatMap((fingering, note) => (fingering || !within(note) ? [] : [note]));
  const slides = part.slides.filter(({ note }) => within(note) && within(note - 1));
  const hard = hardestFirst(part.demands).filter(
    ({ note, change }) => within(note) && within(note - 1) && change.moved.length > 1,
  );
  const keys = [...new Set(decided.map(({ fingering }) => fingering))].filter(({ rank }) => rank > 0);
  return [
    ...block(
      'Why',
      told(
        decided,
        ({ note }) => note,
        (one) => `${names(one.note)} ${decisionSentence(one, names)}`,
        notes,
      ),
    ),
    ...block(
      'Slides',
      told(
        slides,
        ({ note }) => note,
        (slide) => slideSentence(slide, names),
        notes,
      ),
    ),
    ...block(
      'Hardest for the fingers, at the goal tempo',
      told(
        hard,
        ({ note }) => note,
        ({ note, change }) => `${names(note - 1)} to ${names(note)}: ${changeWords(change)}`,
        notes,
      ).slice(0, MOST_HARD),
    ),
    ...block(
      'Keys',
      keys.map(({ name, keys: down, pitch }) => {
        const note = notes.find((one) => one.pitch === pitch)!;
        return `${spellingName(note.spelling)} ${name}: ${down.join(' ')}`;
      }),
    ),
    ...(believed.length > 0
      ? ['', `Believed, not sure, so check them: ${[...new Set(believed)].join(', ')}.`]
      : []),
    ...(outside.length > 0
      ? [
          '',
          ...told(
            outside,
            (note) => note,
            (note) =>
              `! ${names(note)} is not in the ${table.family.name}'s table: the plan goes on around it`,
            notes,
          ),
        ]
      : []),
    ...(decided.length === 0 && slides.length === 0
      ? ['', 'No note needs a decision: the standard fingerings do.']
      : []),
  ];
}

function block(title: string, lines: readonly string[]): string[] {
  return lines.length === 0 ? [] : ['', title, ...lines.map((line) => `  ${line}`)];
}

/** Each sentence once, with the onsets that it is said of, in the order of the first. */
function told<T>(
  all: readonly T[],
  noteOf: (one: T) => number,
  sentence: (one: T) => string,
  notes: PartPlan['notes'],
): string[] {
  const places = new Map<string, number[]>();
  for (const one of all) {
    const words = sentence(one);
    places.set(words, [...(places.get(words) ?? []), notes[noteOf(one)]!.onset + 1]);
  }
  return [...places].map(([words, onsets]) => `${words} (${onsetWords(onsets)})`);
}

function onsetWords(onsets: readonly number[]): string {
  const all = [...new Set(onsets)];
  if (all.length === 1) return `onset ${all[0]}`;
  return `onsets ${all.slice(0, 6).join(', ')}${all.length > 6 ? ` and ${all.length - 6} more` : ''}`;
}
