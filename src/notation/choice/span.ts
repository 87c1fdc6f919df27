// Choosing a span by what is printed: bars and beats ("3-4", "3.2-4.1"), onset numbers ("5-17"), a rehearsal mark
// ("A": from it to the next mark). Both ends are inclusive. A pickup is bar 0; its beats are counted back from its
// end, so that a pickup of one beat in 4/4 is beat 4.

import { type Bar, beatsOfBar, unitsOfBeats } from '../../music/meter.ts';
import { nearWord } from '../../music/near-word.ts';
import type { Passage } from '../../music/passage.ts';
import { type Span, wholeSpan } from '../../music/span.ts';
import { EXIT, fail, ok, type Result } from '../../problem.ts';

/** At most one of them; none means the whole passage. */
export interface SpanChoice {
  readonly bars?: string;
  readonly onsets?: string;
  readonly mark?: string;
}

export function chooseSpan(passage: Passage, choice: SpanChoice): Result<Span> {
  const given = (['bars', 'onsets', 'mark'] as const).filter((name) => choice[name] !== undefined);
  if (given.length > 1) {
    return trouble(
      'span.two-choices',
      `both ${given.map((name) => `--${name}`).join(' and ')} are given`,
      'Give one of them.',
    );
  }
  if (choice.bars !== undefined) return spanOfBars(passage, choice.bars);
  if (choice.onsets !== undefined) return spanOfOnsets(passage, choice.onsets);
  if (choice.mark !== undefined) return spanOfMark(passage, choice.mark);
  return passage.onsets.length > 0 ? ok(wholeSpan(passage)) : nothingBegins('the passage');
}

function spanOfBars(passage: Passage, text: string): Result<Span> {
  const match = /^(\d+)(?:\.(\d+))?(?:\s*[-–]\s*(\d+)(?:\.(\d+))?)?$/.exec(text.trim());
  if (!match) {
    return trouble(
      'span.unreadable',
      `"${text}" names no bars`,
      'Write bars as 3, 3-4, or with beats as 3.2-4.1 (bar 3 beat 2 to bar 4 beat 1).',
    );
  }
  const [, firstBar, firstBeat, lastBar, lastBeat] = match;
  const from = barOrBeat(
    passage,
    Number(firstBar),
    firstBeat === undefined ? undefined : Number(firstBeat),
    0,
  );
  if (!from.ok) return from;
  const to =
    lastBar === undefined
      ? from
      : barOrBeat(
          passage,
          Number(lastBar),
          lastBeat === undefined ? undefined : Number(lastBeat),
          from.value.startTick,
        );
  if (!to.ok) return to;
  if (to.value.startTick < from.value.startTick) {
    return trouble('span.reversed', `"${text}" ends before it begins`, `write it as ${reversedText(text)}`);
  }
  return spanOfTicks(passage, from.value.startTick, to.value.endTick, `"${text}"`);
}

function spanOfOnsets(passage: Passage, text: string): Result<Span> {
  const match = /^(\d+)(?:\s*[-–]\s*(\d+))?$/.exec(text.trim());
  if (!match) {
    return trouble('span.unreadable', `"${text}" names no onsets`, 'Write onset numbers as 5 or 5-17.');
  }
  const first = Number(match[1]);
  const last = match[2] === undefined ? first : Number(match[2]);
  const count = passage.onsets.length;
  for (const number of [first, last]) {
    if (number < 1 || number > count) {
      return trouble(
        'span.no-such-onset',
        `there is no onset ${number}`,
        `the passage has onsets 1 to ${count}`,
      );
    }
  }
  if (last < first) {
    return trouble('span.reversed', `"${text}" ends before it begins`, `write it as ${last}-${first}`);
  }
  return ok({ passage, first, last });
}

function spanOfMark(passage: Passage, text: string): Result<Span> {
  const marks = [...passage.rehearsalMarks].sort((a, b) => a.tick - b.tick);
  const wanted = text.trim();
  const index = [
    marks.findIndex((m) => m.text === wanted),
    marks.findIndex((m) => m.text.toLowerCase() === wanted.toLowerCase()),
  ].find((i) => i >= 0);
  if (index === undefined) {
    const near = nearWord(
      wanted,
      marks.map((m) => m.text),
    );
    return trouble(
      'span.no-such-mark',
      `there is no rehearsal mark "${text}"`,
      marks.length === 0
        ? 'the passage has no rehearsal marks; choose by --bars or --onsets'
        : `${near === undefined ? '' : `did you mean "${near}"? `}the marks are ${marks.map((m) => m.text).join(', ')}`,
    );
  }
  const next = marks.slice(index + 1).find((m) => m.tick > marks[index]!.tick);
  return spanOfTicks(passage, marks[index]!.tick, next?.tick ?? passage.endTick, `mark "${text}"`);
}

interface BarOrBeat {
  readonly startTick: number;
  readonly endTick: number;
}

/** A bar, or a beat of it. Where repeats print a number twice, the first at or after `afterTick`. */
function barOrBeat(
  passage: Passage,
  number: number,
  beat: number | undefined,
  afterTick: number,
): Result<BarOrBeat> {
  const same = passage.bars.filter((bar) => bar.number === number);
  const bar = same.find((b) => b.startTick + b.durationTicks > afterTick) ?? same.at(-1);
  if (!bar) return trouble('span.no-such-bar', `there is no bar ${number}`, barsThere(passage.bars));
  const end = bar.startTick + bar.durationTicks;
  if (beat === undefined) return ok({ startTick: bar.startTick, endTick: end });
  const beats = numberedBeats(bar);
  const found = beats.find((b) => b.number === beat);
  if (!found) {
    const [low, high] = [beats[0]?.number, beats.at(-1)?.number];
    const which = low === high ? `beat ${low} only` : `beats ${low} to ${high}`;
    return trouble('span.no-such-beat', `bar ${number} has no beat ${beat}`, `bar ${number} has ${which}`);
  }
  // A pickup may begin with less than a beat: that rest of a beat belongs to its first whole one.
  const startTick = found === beats[0] ? bar.startTick : found.tick;
  return ok({ startTick, endTick: beats[beats.indexOf(found) + 1]?.tick ?? end });
}

/** The beats of a bar with their numbers; a pickup's are counted back from the last of a whole bar. */
export function numberedBeats(bar: Bar): { readonly number: number; readonly tick: number }[] {
  const ticks = beatsOfBar(bar);
  const whole = unitsOfBeats(bar.meter).length;
  if (ticks.length === 0) return [{ number: whole, tick: bar.startTick }];
  const first = bar.pickup ? Math.max(1, whole - ticks.length + 1) : 1;
  return ticks.map((tick, i) => ({ number: first + i, tick }));
}

function spanOfTicks(passage: Passage, startTick: number, endTick: number, what: string): Result<Span> {
  const inside = (tick: number) => tick >= startTick && tick < endTick;
  const first = passage.onsets.findIndex((onset) => inside(onset.tick));
  if (first < 0) return nothingBegins(what);
  const last = passage.onsets.findLastIndex((onset) => inside(onset.tick));
  return ok({ passage, first: first + 1, last: last + 1 });
}

function nothingBegins(what: string): Result<Span> {
  return trouble(
    'span.empty',
    `nothing begins in ${what}`,
    'it holds rests or a note held over; choose a span with notes in it',
  );
}

function barsThere(bars: readonly Bar[]): string {
  const numbers = bars.map((bar) => bar.number);
  if (numbers.length === 0) return 'the passage has no bars';
  const low = Math.min(...numbers);
  const high = Math.max(...numbers);
  if (low === high) return `the passage has bar ${low} only`;
  const pickup = bars.some((bar) => bar.pickup && bar.number === 0) ? ' (0 is the pickup)' : '';
  return `the passage has bars ${low} to ${high}${pickup}`;
}

function reversedText(text: string): string {
  const [from, to] = text.split(/[-–]/).map((part) => part.trim());
  return `${to}-${from}`;
}

function trouble(code: string, state: string, hint: string): Result<never> {
  return fail({ code, message: `Cannot choose the span: ${state}`, hint, exitStatus: EXIT.usage });
}
