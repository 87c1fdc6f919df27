// Reads a session script and plays it through `advance`, at the speed of arithmetic. See README.md for the format.

import type { SessionOptions } from '../../src/commands/session-options.ts';
import { planSession } from '../../src/commands/session-setup.ts';
import { need } from '../../src/commands/usage-problem.ts';
import type { Passage } from '../../src/music/passage.ts';
import { spellingToPitch } from '../../src/music/pitch.ts';
import { readAbc } from '../../src/notation/abc/reader.ts';
import { chooseSpan } from '../../src/notation/choice/span.ts';
import { draw } from '../../src/screen/draw.ts';
import { advance, nextWakeUp } from '../../src/session/advance.ts';
import type { Effect } from '../../src/session/effect.ts';
import type { Control, SessionEvent } from '../../src/session/event.ts';
import type { SessionPlan } from '../../src/session/plan.ts';
import { newSession, type Session } from '../../src/session/session.ts';
import { plainLine } from '../../src/wording/plain-lines.ts';

export interface Script {
  readonly plan: SessionPlan;
  readonly events: readonly { readonly text: string; readonly event: SessionEvent }[];
}

export async function readScript(text: string): Promise<Script> {
  const abc: string[] = [];
  const options: Record<string, string | string[]> = {};
  const events: { text: string; event: SessionEvent }[] = [];
  for (const line of text.split('\n')) {
    if (line.startsWith('abc ')) abc.push(line.slice(4));
    else if (line.startsWith('set ')) {
      const [, name, value] = /^set (\S+) (.*)$/.exec(line)!;
      options[name!] = name === 'control' ? [value!] : value!;
    } else if (/^[\d.]+ /.test(line)) events.push({ text: line, event: readEvent(line) });
    else if (line !== '' && !line.startsWith('#')) throw new Error(`Cannot read the script line "${line}"`);
  }
  const reading = await readAbc(abc.join('\n'), 'script');
  if (!reading.passage)
    throw new Error(`Cannot read the script's passage: ${JSON.stringify(reading.issues)}`);
  return { plan: planFor(reading.passage, options as SessionOptions), events };
}

/** The script lines of a tune in C and 4/4, at a quarter of 60 a minute. */
export function tuneLines(music: string, { title = 'Five notes', unit = '1/4' } = {}): string {
  const abc = ['X:1', `T:${title}`, 'M:4/4', `L:${unit}`, 'Q:1/4=60', 'K:C', music];
  return abc.map((line) => `abc ${line}`).join('\n');
}

export const FIVE_NOTES = tuneLines('C D E F | G4 |]');

function planFor(passage: Passage, options: SessionOptions): SessionPlan {
  const span = need(chooseSpan(passage, options));
  return planSession(span, options);
}

function readEvent(line: string): SessionEvent {
  const [time, word, ...rest] = line.split(/\s+/);
  const at = Math.round(Number(time) * 1_000_000);
  const player = 'player';
  switch (word) {
    case 'on':
      return {
        type: 'played',
        at,
        player,
        event: { type: 'note-on', at, pitch: pitchOf(rest[0]!), velocity: Number(rest[1] ?? 80), channel: 0 },
      };
    case 'off':
      return {
        type: 'played',
        at,
        player,
        event: { type: 'note-off', at, pitch: pitchOf(rest[0]!), channel: 0 },
      };
    case 'control':
      return {
        type: 'played',
        at,
        player,
        event: { type: 'controller', at, number: Number(rest[0]), value: Number(rest[1]), channel: 0 },
      };
    case 'lost':
      return {
        type: 'played',
        at,
        player,
        event: { type: 'lost', at, reason: 'the instrument is unplugged' },
      };
    case 'found':
      return { type: 'played', at, player, event: { type: 'found', at } };
    case 'press':
      return { type: 'control', at, control: rest[0] as Control };
    case 'look':
      return { type: 'wake', at };
    default:
      throw new Error(`Cannot read the script line "${line}"`);
  }
}

function pitchOf(name: string): number {
  const [, letter, sign, octave] = /^([A-G])(b|#)?(-?\d)$/.exec(name)!;
  return spellingToPitch({
    letter: letter as 'C',
    alter: sign === '#' ? 1 : sign === 'b' ? -1 : 0,
    octave: Number(octave),
  });
}

export interface Played {
  readonly session: Session;
  readonly effects: readonly Effect[];
  readonly lines: readonly string[];
}

/** Plays the events; wakes the session as often as it asks and, where given, at the extra times. */
export function playScript(
  script: Script,
  options: {
    readonly extraWakes?: readonly number[];
    readonly lazy?: boolean;
    /** What becomes of the session between two events. */
    readonly between?: (session: Session) => Session;
  } = {},
): Played {
  let session = newSession(script.plan);
  const { passage } = script.plan.span;
  const effects: Effect[] = [];
  const lines: string[] = [];
  const step = (event: SessionEvent) => {
    const result = advance(session, event);
    session = options.between ? options.between(result.session) : result.session;
    effects.push(...result.effects);
    lines.push(...result.effects.flatMap((effect) => effectLine(effect, passage)));
  };
  const extra = [...(options.extraWakes ?? [])].sort((a, b) => a - b);
  const wakeUntil = (limit: number) => {
    for (;;) {
      const asked = options.lazy ? undefined : nextWakeUp(session);
      while (extra.length > 0 && extra[0]! <= session.now) extra.shift();
      const next = Math.min(asked ?? Number.POSITIVE_INFINITY, extra[0] ?? Number.POSITIVE_INFINITY);
      // Input comes before what time alone makes true at the same instant.
      if (next >= limit) return;
      step({ type: 'wake', at: next });
    }
  };
  step({ type: 'begin', at: 0 });
  for (const { text, event } of script.events) {
    wakeUntil(event.at);
    if (event.type !== 'wake') lines.push(`${seconds(event.at)} > ${text.replace(/^\S+ /, '')}`);
    step(event);
  }
  return { session, effects, lines };
}

export function transcript(played: Played): string {
  const frame = draw(played.session, { columns: 80, rows: 24 }, { unicode: false, source: 'script' });
  const screen = frame.lines.map(
    (runs) =>
      `| ${runs
        .map(({ text }) => text)
        .join('')
        .trimEnd()}`,
  );
  return `${[...played.lines, '', ...screen].join('\n')}\n`;
}

function effectLine(effect: Effect, passage: Passage): string[] {
  switch (effect.type) {
    case 'clicks': {
      const [first] = effect.clicks;
      if (!first) return [];
      return [
        `${seconds(first.atMicros)} click x${effect.clicks.length} to ${seconds(effect.clicks.at(-1)!.atMicros)}`,
      ];
    }
    case 'signal':
      return [`${seconds(effect.at)} signal ${effect.kind}`];
    case 'sound':
      return [`${seconds(effect.notes[0]!.atMicros)} sound x${effect.notes.length}`];
    case 'silence':
      return [`${seconds(effect.from)} silence from here`];
    case 'keep':
      return [
        `         keep ${effect.take.order}: ${effect.take.end}, ${effect.take.clean ? 'clean' : 'not clean'}, ${effect.playing.events.length} events`,
      ];
    case 'news': {
      const line = plainLine(effect.news, passage, effect.at);
      return line === undefined ? [] : [`${seconds(effect.at)} ${line.trimStart().replace(/^\S+\s+/, '')}`];
    }
    case 'prompt':
    case 'hush':
      return [];
    case 'end':
      return [`${seconds(effect.at)} end`];
  }
}

function seconds(micros: number): string {
  return (micros / 1_000_000).toFixed(3).padStart(8);
}
