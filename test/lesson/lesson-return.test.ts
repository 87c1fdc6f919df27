import { createHash } from 'node:crypto';
import { beforeAll, describe, expect, it } from 'vitest';
import { judgedAgain } from '../../src/lesson/judged-again.ts';
import type { Lesson } from '../../src/lesson/lesson.ts';
import { type LessonReturn, readReturn, returnLines, together } from '../../src/lesson/lesson-return.ts';
import type { Entry } from '../../src/record/entry.ts';
import type { StepName } from '../../src/record/standing.ts';
import { JUDGE_VERSION } from '../../src/take/judge-version.ts';
import { planFor, simulate } from '../session/simulate.ts';
import { madeLesson } from './made-lesson.ts';

let lesson: Lesson;
let asked: StepName[][];
let takes: readonly Entry[];

beforeAll(async () => {
  const plan = await planFor('slipway', { bars: '2', drill: 'landings', passes: '3', tempo: '72' });
  lesson = madeLesson(plan.span.passage);
  asked = [plan.steps.map(({ drill, step }) => ({ drill, name: step.run.name }))];
  const { record } = await simulate(plan, ['model:nervous,seed=4,snag=10'], 30);
  takes = record.entries();
});

const head = () => ({ name: 'Ilse', made: '2026-03-05T18:00:00.000+01:00', lesson, asked });

function read(lines: readonly string[], most?: number): LessonReturn {
  const found = readReturn(Buffer.from(`${lines.join('\n')}\n`), 'ilse.return', most);
  if (!found.ok) throw new Error(`${found.problem.code}: ${found.problem.message}`);
  return found.value;
}

function trouble(text: string): string {
  const found = readReturn(Buffer.from(text), 'ilse.return');
  return found.ok ? 'none' : `${found.problem.code}: ${found.problem.message}`;
}

/** What somebody does who changes a line on purpose: the checksum is worked out anew, as DEVELOPERS.md tells it. */
function sealed(lines: readonly string[]): string[] {
  const body = lines.slice(0, -1);
  const checksum = createHash('sha256')
    .update(body.map((line) => `${line}\n`).join(''))
    .digest('hex');
  return [...body, JSON.stringify({ takes: body.length, checksum })];
}

describe('a return', () => {
  it('comes back with its lesson, its steps and its takes, all judged again', () => {
    const back = read(returnLines(head(), takes));
    expect(back).toMatchObject(JSON.parse(JSON.stringify(head())));
    expect(back.takes.map(({ order, clean, verdict }) => ({ order, clean, verdict }))).toEqual(
      takes.map(({ order, clean, verdict }) => ({ order, clean, verdict })),
    );
    const judged = takes.filter(({ verdict }) => verdict).length;
    expect(judgedAgain(back.takes)).toEqual({
      of: judged,
      again: judged,
      otherwise: 0,
      earlier: 0,
      newer: 0,
    });
    expect(judged).toBeGreaterThan(3);
  });

  it('is the same however its lines end', () => {
    const lines = returnLines(head(), takes);
    const found = readReturn(Buffer.from(`\uFEFF${lines.join('\r\n')}\r\n\r\n`), 'ilse.return');
    expect(found.ok && found.value.takes).toHaveLength(takes.length);
  });

  it('keeps the raw events in the lines of the record\u2019s exchange', () => {
    const lines = returnLines(head(), takes).map((line) => JSON.parse(line));
    expect(lines[1]).toEqual({ fettle: 'practice record', format: 2 });
    const kept = lines.filter((line) => 'take' in line);
    expect(kept.map(({ take }) => take.playing.events)).toEqual(takes.map(({ playing }) => playing!.events));
  });

  it('is noticed where a letter of a take was changed, a take was left out or the end is missing', () => {
    const lines = returnLines(head(), takes);
    const at = lines.findIndex((line) => line.startsWith('{"take"'));
    const edited = lines.with(
      at,
      lines[at]!.replace('"onward":false', '"onward":true').replace(/"velocity":\d/, '"velocity":9'),
    );
    expect(edited).not.toEqual(lines);
    expect(trouble(edited.join('\n'))).toContain('return.changed');
    expect(trouble(lines.toSpliced(at, 1).join('\n'))).toContain('return.changed');
    expect(trouble(lines.slice(0, -1).join('\n'))).toContain(
      'return.damaged: Cannot read ilse.return: its end is missing',
    );
    expect(trouble(lines.join('\n').slice(0, -200))).toContain('return.damaged');
  });

  it('is refused where it is of a newer Fettle, or something else', () => {
    const [first, ...others] = returnLines(head(), takes) as [string, ...string[]];
    expect(trouble([first.replace('"format":1', '"format":2'), ...others].join('\n'))).toContain(
      'return.newer',
    );
    expect(trouble('{"fettle":"lesson","format":1}')).toContain(
      'return.not-one: Cannot read ilse.return: it is a lesson,',
    );
    expect(trouble(first.slice(0, first.length / 2))).toContain(
      'return.damaged: Cannot read ilse.return: it breaks off in its first line',
    );
    for (const text of ['', 'X:1\nK:C\nCDEF', '[]', '{'])
      expect(trouble(text)).toContain('it is something else, not what came back of a lesson');
  });

  it('tells the line of a take that is damaged although the checksum fits', () => {
    const lines = returnLines(head(), takes);
    const at = lines.findIndex((line) => line.startsWith('{"take"'));
    const spoilt = sealed(lines.with(at, lines[at]!.replace('"clean":', '"clear":')));
    expect(trouble(spoilt.join('\n'))).toContain(
      `return.damaged: Cannot read ilse.return: line ${at + 1} is damaged`,
    );
  });
});

/** A take that says it was clean and passed its step, and was neither. */
function forged(entry: Entry): Entry {
  return {
    ...entry,
    clean: true,
    onward: true,
    counted: true,
    verdict: { ...entry.verdict!, clean: true, slips: [] },
  };
}

describe('a return that claims more than was played', () => {
  const missed = () => takes.findIndex(({ clean, verdict }) => !clean && verdict !== undefined);

  it('is judged by what was played', () => {
    const index = missed();
    expect(index).toBeGreaterThanOrEqual(0);
    const lines = returnLines(head(), takes.with(index, forged(takes[index]!)));
    const back = read(sealed(lines));
    expect(judgedAgain(back.takes).otherwise).toBe(1);
    expect(back.takes[index]!.clean).toBe(false);
  });

  it('is judged by what was played where a line says one thing before it and another after it', () => {
    const honest = takes.filter(({ onward }) => !onward);
    const many = Array.from({ length: 400 }, (_, i) => ({ ...honest[i % honest.length]!, order: i + 1 }));
    const index = many.findIndex(({ clean, verdict }) => !clean && verdict !== undefined);
    const { clean, onward, counted, verdict } = many[index]!;
    const lines = returnLines(head(), many.with(index, forged(many[index]!)));
    const at = lines.findIndex(
      (line) => line.startsWith(`{"take"`) && line.includes(`"order":${index + 1},`),
    );
    const also = JSON.stringify({ clean, onward, counted, verdict }).slice(1);
    const back = read(sealed(lines.with(at, `${lines[at]!.slice(0, -2)},${also}}`)));
    expect(back.takes[index]).toMatchObject({ clean: false, onward });
  });

  it('is found out in a long one where a step rests on it, and then nothing of it is believed', () => {
    const many = long(takes.filter(({ onward }) => !onward));
    expect(judgedAgain(read(returnLines(head(), many), FEW).takes).again).toBe(FEW);
    const index = many.findIndex(({ clean, verdict }) => !clean && verdict !== undefined);
    const back = read(sealed(returnLines(head(), many.with(index, forged(many[index]!)))), FEW);
    const { of, again, otherwise } = judgedAgain(back.takes);
    expect(again).toBe(of);
    expect(otherwise).toBe(1);
    expect(back.takes[index]!.clean).toBe(false);
  });
});

/** So few of a long return are judged again. */
const FEW = 8;

function long(some: readonly Entry[]): Entry[] {
  return Array.from({ length: 400 }, (_, i) => ({ ...some[i % some.length]!, order: i + 1 }));
}

describe('a long return that another judge has judged', () => {
  const byJudge = (judge: number) => long(takes).map((take) => ({ ...take, judge }));

  it.each([
    ['earlier', JUDGE_VERSION - 1],
    ['newer', JUDGE_VERSION + 1],
  ] as const)('stands as it came, of an %s one, but for some takes, and says how many', (kind, judge) => {
    const many = byJudge(judge);
    const index = many.findIndex(({ clean, onward, verdict }) => !clean && !onward && verdict !== undefined);
    const back = read(returnLines(head(), many.with(index, forged(many[index]!))), FEW);
    const judged = many.filter(({ verdict }) => verdict).length;
    expect(judgedAgain(back.takes)).toEqual({
      ...{ of: judged, again: FEW, otherwise: 1, earlier: 0, newer: 0 },
      [kind]: judged - FEW,
    });
    // The take that passed a step is among those that were judged again; no other is doubted for its sake.
    expect(back.takes[index]).toMatchObject({ clean: false, again: 'otherwise', judge: JUDGE_VERSION });
  });

  it('is judged again as a whole where that is asked', () => {
    const back = read(returnLines(head(), byJudge(JUDGE_VERSION - 1)));
    const { of, again, otherwise, earlier } = judgedAgain(back.takes);
    expect([again, otherwise, earlier]).toEqual([of, 0, 0]);
  });

  it('has takes that passed a step and others among those that are judged again, from its whole length', () => {
    const back = read(returnLines(head(), byJudge(JUDGE_VERSION)), FEW);
    const indexes = [...back.takes.keys()].filter((index) => back.takes[index]!.again);
    const passed = indexes.filter((index) => back.takes[index]!.onward);
    expect(passed.length).toBeGreaterThanOrEqual(1);
    expect(passed.length).toBeLessThan(FEW);
    expect(indexes.at(-1)! - indexes[0]!).toBeGreaterThan(back.takes.length / 2);
  });
});

describe('two returns of one pupil', () => {
  it('are one: what is in both counts once, in order of playing', () => {
    const half = takes.length >> 1;
    const early = read(returnLines(head(), takes.slice(0, half + 1)));
    const late = read(returnLines({ ...head(), made: '2026-03-06T18:00:00.000+01:00' }, takes.slice(half)));
    for (const both of [together([early, late]), together([late, early])]) {
      expect(both.takes.map(({ order }) => order)).toEqual(takes.map(({ order }) => order));
      expect(both.made).toBe('2026-03-06T18:00:00.000+01:00');
    }
  });
});
