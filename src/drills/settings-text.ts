// Drill settings as they are typed on a command line. Each function reads one option's text; `settingsTexts` writes them.

import { nearWords } from '../music/near-word.ts';
import { TICKS_PER_WHOLE } from '../music/ticks.ts';
import { ok, type Result } from '../problem.ts';
import { DRILLS, findDrill } from './catalogue.ts';
import { CLICK_PLACEMENTS, type ClickPlacement, isClickPlacement } from './click-placement.ts';
import type { Drill, DrillSettings } from './drill.ts';
import { refuse } from './refusal.ts';
import { checkEvery, type Every } from './run-length.ts';

/** Which drills have a use for what they may be told. */
export const USERS = {
  every: ['landings', 'chain'],
  hold: ['landings', 'chain'],
  snag: ['widening', 'tenuto'],
  note: ['switchback'],
} as const;

/** What is usual for a hold. */
const USUAL_HOLD = 2;

/** "landings,switchback": drills in a row. */
export function readDrillNames(text: string): Result<readonly Drill[]> {
  const drills: Drill[] = [];
  for (const name of listed(text)) {
    const drill = findDrill(name);
    if (!drill.ok) return drill;
    drills.push(drill.value);
  }
  if (drills.length > 0) return ok(drills);
  return refuse(
    'none',
    'Cannot read the drills: none is named',
    `The drills are ${DRILLS.map((d) => d.name).join(', ')}.`,
  );
}

/** "1/2", "1", "2", "4", "group", "bar", "growing". */
export function readEvery(text: string): Result<Every> {
  const word = text.trim().toLowerCase();
  if (word === 'group' || word === 'bar' || word === 'growing') return ok(word);
  const beats = word === '1/2' || word === '½' ? 0.5 : numberOf(word);
  if (beats !== undefined) return checkEvery(beats);
  return refuse(
    'every-text',
    `Cannot read --every "${text}": a run is 1/2, 1, 2 or 4 beats, group, bar, or growing`,
    didYouMean(word, ['group', 'bar', 'growing']),
  );
}

/** "2", "bar". Whether the number is in range is the drill's to say. */
export function readHold(text: string): Result<number | 'bar'> {
  const word = text.trim().toLowerCase();
  if (word === 'bar') return ok('bar');
  const beats = numberOf(word);
  if (beats !== undefined && Number.isInteger(beats) && beats >= 1) return ok(beats);
  return refuse('hold-text', `Cannot read --hold "${text}": a hold is whole beats, 1 or more, or bar`);
}

/** "5" or "5,9": onsets where snags begin. */
export function readSnags(text: string): Result<readonly number[]> {
  const snags = listed(text).map(numberOf);
  if (snags.length > 0 && snags.every((snag) => snag !== undefined && Number.isInteger(snag) && snag >= 1)) {
    return ok(snags.filter((snag) => snag !== undefined));
  }
  return refuse(
    'snag-text',
    `Cannot read --snag "${text}": a snag is the number of the onset where the bad interval begins, several with commas`,
    'The screen shows the numbers under the notes.',
  );
}

/** "retrograde,inversion", in plain words "backwards,mirrored": variants of the drills that are to be played. */
export function readVariants(text: string, drills: readonly Drill[]): Result<readonly string[]> {
  const known = [...new Set(drills.flatMap((drill) => Object.keys(drill.variants)))];
  const plain = new Map(
    DRILLS.flatMap(({ plainVariants = {} }) => Object.entries(plainVariants)).map(([name, word]) => [
      word,
      name,
    ]),
  );
  const asked = listed(text.toLowerCase()).map((word) => plain.get(word) ?? word);
  const unknown = asked.find((variant) => !known.includes(variant));
  if (unknown === undefined && asked.length > 0) return ok(asked);
  const names = drills.map((drill) => drill.name).join(', ');
  const owner = DRILLS.find((drill) => unknown !== undefined && unknown in drill.variants);
  const hint = owner
    ? `It is a variant of ${owner.name}.`
    : didYouMean(unknown ?? '', [...known, ...plain.keys()]);
  return refuse(
    'variant-unknown',
    `Cannot find variant "${unknown ?? text}" of ${names}: ${known.length > 0 ? `the variants are ${known.join(', ')}` : 'there are none'}`,
    hint,
  );
}

/** "beat", "half", "bar", "offbeat", "silent-bars". */
export function readClick(text: string): Result<ClickPlacement> {
  const word = text.trim().toLowerCase();
  if (isClickPlacement(word)) return ok(word);
  const known = Object.keys(CLICK_PLACEMENTS);
  return refuse(
    'click-text',
    `Cannot place the click on "${text}": it goes on ${known.join(', ')}`,
    didYouMean(word, known),
  );
}

/** A note value as ticks: "1/8" an eighth, "1/8." dotted. */
export function readNoteValue(text: string): Result<number> {
  const [, unit, dot] = /^\s*1\/(\d{1,3})(\.?)\s*$/.exec(text) ?? [];
  const ticks = (TICKS_PER_WHOLE / Number(unit)) * (dot === '.' ? 1.5 : 1);
  if (Number.isInteger(ticks) && ticks > 0) return ok(ticks);
  return refuse(
    'note-value',
    `Cannot read the note value "${text}": it is a fraction of a whole note`,
    'An eighth is 1/8, a sixteenth 1/16, a triplet eighth 1/12, a dotted eighth 1/8. with the dot.',
  );
}

/** What drills in a row were told, as it would be typed; what is as usual, and what other drills were told, is left out. */
export function settingsTexts(
  drills: readonly string[],
  { every, hold, snags, noteTicks, variants = [] }: Omit<DrillSettings, 'tempo'>,
): Partial<Record<keyof typeof USERS | 'variant', string>> {
  const found = drills.flatMap((name) => {
    const drill = findDrill(name);
    return drill.ok ? [drill.value] : [];
  });
  const own = variants.filter((variant) => found.some((drill) => variant in drill.variants));
  const note = noteTicks === undefined ? undefined : noteText(noteTicks);
  const told: Record<keyof typeof USERS, string | undefined> = {
    every: every === 0.5 ? '1/2' : every?.toString(),
    hold: hold === USUAL_HOLD ? undefined : hold?.toString(),
    snag: snags?.join(','),
    note,
  };
  const texts = Object.entries(USERS).flatMap(([name, users]) => {
    const text = told[name as keyof typeof USERS];
    return text !== undefined && users.some((user) => drills.includes(user)) ? [[name, text]] : [];
  });
  return { ...Object.fromEntries(texts), ...(own.length > 0 ? { variant: own.join(',') } : {}) };
}

function noteText(ticks: number): string | undefined {
  if (Number.isInteger(TICKS_PER_WHOLE / ticks)) return `1/${TICKS_PER_WHOLE / ticks}`;
  const dotted = (TICKS_PER_WHOLE * 1.5) / ticks;
  return Number.isInteger(dotted) ? `1/${dotted}.` : undefined;
}

function listed(text: string): string[] {
  return text
    .split(',')
    .map((word) => word.trim())
    .filter((word) => word !== '');
}

/** Plain decimal digits only. */
function numberOf(text: string): number | undefined {
  return /^\d+(\.\d+)?$/.test(text) ? Number(text) : undefined;
}

function didYouMean(word: string, known: readonly string[]): string | undefined {
  const near = nearWords(word, known);
  return near.length > 0 ? `Did you mean ${near.join(' or ')}?` : undefined;
}
