// What a path of hypotheses says: which played note fills which slot, and what the other notes were. Going back empties
// the slots from there on: the last try is the match, and the notes of the tries before it are restarts.

import type { PlayedNote } from '../music/played-note.ts';
import type { Alignment, ExtraKind, ExtraNote, NoteVerdict } from './alignment.ts';
import { isBlip } from './blip.ts';
import { withoutEarlyGraces } from './early-grace.ts';
import type { Hypothesis } from './hypothesis.ts';
import type { Timetable } from './timetable.ts';
import { addedTo, emptyTrail, entries, type Trail, trailOf } from './trail.ts';

/** Who fills each slot: the index of a played note, -1 for nobody. Never changed in place. */
export interface Account {
  readonly fills: readonly number[];
  /** In the order played. */
  readonly extras: Trail<ExtraNote>;
  /** The onset reached; -1 before the first. */
  readonly cursor: number;
}

export function emptyAccount(timetable: Timetable): Account {
  return { fills: new Array<number>(timetable.slots.length).fill(-1), extras: emptyTrail(), cursor: -1 };
}

/** The account after more steps of a path, first step first. */
export function tell(account: Account, steps: readonly Hypothesis[], timetable: Timetable): Account {
  if (steps.length === 0) return account;
  const fills = account.fills.slice();
  if (!steps.some((step) => step.wentBack)) {
    let extras = account.extras;
    for (const step of steps) {
      if (step.slot >= 0) fills[step.slot] = step.played;
      else if (step.played >= 0) extras = addedTo(extras, extraOf(step));
    }
    return { fills, extras, cursor: steps.at(-1)!.cursor };
  }
  const extras = entries(account.extras);
  for (const step of steps) {
    if (step.wentBack) giveUp(fills, extras, step, timetable);
    if (step.slot >= 0) fills[step.slot] = step.played;
    else if (step.played >= 0) extras.push(extraOf(step));
  }
  return { fills, extras: trailOf(extras), cursor: steps.at(-1)!.cursor };
}

function extraOf(step: Hypothesis): ExtraNote {
  return {
    played: step.played,
    kind: step.act === 'ornament' ? 'ornament' : 'extra',
    before: step.cursor + 1,
  };
}

/** Empties the slots from the one gone back to; what was played there and since is a try given up. */
function giveUp(fills: number[], extras: ExtraNote[], step: Hypothesis, timetable: Timetable): void {
  const before = timetable.slots[step.slot]!.onset;
  const given: number[] = [];
  for (let p = timetable.firstSlot[before]!; p < fills.length; p++) {
    if (fills[p]! >= 0) given.push(fills[p]!);
    fills[p] = -1;
  }
  if (given.length === 0) return;
  const since = Math.min(...given);
  while (extras.length > 0 && extras.at(-1)!.played > since) given.push(extras.pop()!.played);
  for (const played of given.sort((a, b) => a - b)) extras.push(restart(played, before));
}

function restart(played: number, before: number): ExtraNote {
  return { played, kind: 'restart', before };
}

/** The account as an alignment: a verdict for each expected note, a kind for each of the others. */
export function alignmentFrom(
  account: Account,
  played: readonly PlayedNote[],
  timetable: Timetable,
): Alignment {
  const { fills, early } = withoutEarlyGraces(account.fills, played, timetable);
  const notes = timetable.slots.map((slot, p): NoteVerdict => {
    const { onset, note } = slot;
    const by = fills[p]!;
    if (by < 0) return { onset, note, verdict: slot.required ? 'missed' : 'omitted' };
    return { onset, note, verdict: played[by]!.pitch === slot.pitch ? 'right' : 'wrong', played: by };
  });
  const extras = entries(account.extras).map(
    (extra): ExtraNote => ({ ...extra, kind: kindOf(extra, account, played, timetable) }),
  );
  return { notes, extras: early.length === 0 ? extras : inOrder([...extras, ...early]) };
}

function inOrder(extras: readonly ExtraNote[]): ExtraNote[] {
  return extras.toSorted((a, b) => a.played - b.played);
}

export function kindOf(
  extra: ExtraNote,
  account: Account,
  played: readonly PlayedNote[],
  timetable: Timetable,
): ExtraKind {
  if (extra.kind !== 'extra') return extra.kind;
  return isBlip(extra, account.fills, played, timetable) ? 'blip' : 'extra';
}
