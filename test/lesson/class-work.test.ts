// A class of simulated pupils: where a snag was planted in most of them, it is what they are to work on together.

import { describe, expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { classWork } from '../../src/lesson/class-work.ts';
import { readReturn, returnLines } from '../../src/lesson/lesson-return.ts';
import { type PupilWork, pupilWork } from '../../src/lesson/pupil-work.ts';
import { classPage } from '../../src/report/class-page.ts';
import { classJson } from '../../src/wording/class-json.ts';
import { classLines, pupilLines } from '../../src/wording/lesson.ts';
import { textWidth } from '../../src/wording/text-width.ts';
import { planFor, simulate } from '../session/simulate.ts';
import { madeLesson } from './made-lesson.ts';

const plan = await planFor('slipway', { bars: '2', drill: 'landings', passes: '3', tempo: '60' });
const lesson = madeLesson(plan.span.passage, [{ tempo: 60 }, { drill: 'through' }]);
const steps = plan.steps.map(({ drill, step }) => ({ drill, name: step.run.name }));

async function pupil(name: string, model: string): Promise<PupilWork> {
  const { record } = await simulate(plan, [model], 4);
  const head = { name, made: '2026-03-05T18:00:00.000+01:00', lesson, asked: [steps, []] };
  const read = need(
    readReturn(Buffer.from(returnLines(head, record.entries()).join('\n')), `${name}.return`),
  );
  return pupilWork(read, [`${name}.return`]);
}

const SNAG = 10;
const pupils = await Promise.all([
  pupil('Tamsin', `model:pupil,seed=3,snag=${SNAG}`),
  pupil('\u5c0f\u6625', `model:pupil,seed=8,snag=${SNAG}`),
  pupil('Bram', `model:pupil,seed=5,snag=${SNAG}`),
  pupil('Ilse', 'model:exact'),
]);
const work = classWork(pupils);

describe('a class', () => {
  it('works together on the interval where a snag was planted in most of its pupils', () => {
    expect(work.shared[0]).toMatchObject({ from: SNAG, of: 4 });
    expect(work.shared[0]!.pupils).toBeGreaterThanOrEqual(2);
    expect(classWork([pupils[3]!]).shared).toEqual([]);
  });

  it('shows the pupils by name, each assignment with how many have done it', () => {
    expect(work.pupils.map(({ name }) => name)).toEqual(['Bram', 'Ilse', 'Tamsin', '\u5c0f\u6625']);
    const lines = classLines(work);
    const done = pupils.filter(({ outcomes }) => outcomes[0]!.state === 'done').length;
    expect(done).toBeGreaterThan(0);
    expect(lines.find((line) => line.startsWith(' 1. '))).toContain(`done by ${done} of 4`);
    expect(lines.find((line) => line.startsWith(' 2. '))).toContain('done by 0 of 4');
    for (const line of lines) expect(textWidth(line)).toBeLessThanOrEqual(110);
  });

  it('sets its columns by the width of wide characters', () => {
    const rows = classLines(work).filter((line) => /^ {4}(Bram|Ilse|Tamsin|\u5c0f\u6625) /.test(line));
    const places = rows
      .filter((row) => !row.includes('not begun'))
      .map((row) => textWidth(row.slice(0, row.search(/done|\d of/))));
    expect(places).toHaveLength(4);
    expect(new Set(places).size).toBe(1);
  });

  it('takes the longest form of the lesson, and says whose lesson does not have all of it', () => {
    const [first, ...others] = pupils;
    const older: PupilWork = {
      ...first!,
      lesson: { ...lesson, assignments: lesson.assignments.slice(0, 1) },
      outcomes: first!.outcomes.slice(0, 1),
    };
    const mixed = classWork([older, ...others]);
    expect(mixed.lesson.assignments).toHaveLength(2);
    const tamsin = mixed.pupils.find(({ name }) => name === 'Tamsin')!;
    expect(tamsin.ofClass[1]).toBeUndefined();
    expect(pupilLines(tamsin, mixed.lesson).join('\n')).toContain('not in this pupil\u2019s lesson');
    expect(classJson(mixed)).toMatchObject({
      pupils: expect.arrayContaining([
        expect.objectContaining({ name: 'Tamsin', assignments: [expect.anything(), null] }),
      ]),
    });
  });

  it('is a page that fetches nothing and keeps names safe', () => {
    const page = classPage(classWork([{ ...pupils[0]!, name: '<b>Bram & "Co"' }, ...pupils.slice(1)]));
    expect(page).not.toMatch(/<script|<link|<img|@import|url\(|https?:\/\/(?!www\.w3\.org)/);
    expect(page).not.toMatch(/NaN|undefined|Infinity|<b>/);
    expect(page).toContain('What to work on together');
    expect(page).toContain('&lt;b&gt;Bram');
    expect(page.match(/<svg /g)).toHaveLength(1);
  });
});
