import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chooseSpan, type SpanChoice } from '../../../src/notation/choice/span.ts';
import { madePassage, quarters } from '../made-passage.ts';

// Four bars of quarters after a pickup of one: onset 1 is the pickup, bar 1 begins at onset 2.
const march = madePassage(quarters(17), { pickupQuarters: 1, marks: { A: 1, B: 9, '12a': 13 } });

function span(choice: SpanChoice, passage = march): string {
  const chosen = chooseSpan(passage, choice);
  if (chosen.ok) return `${chosen.value.first}-${chosen.value.last}`;
  expect(chosen.problem.exitStatus).toBe(2);
  return `${chosen.problem.message} | ${chosen.problem.hint}`;
}

describe('a span chosen by bars', () => {
  it.each([
    ['1', '2-5'],
    ['0', '1-1'],
    ['3-4', '10-17'],
    ['0-1', '1-5'],
    ['3.2-4.1', '11-14'],
    ['3.2-4', '11-17'],
    ['3-3.3', '10-12'],
    ['2.4', '9-9'],
    ['0.4', '1-1'],
    ['0.4-1.1', '1-2'],
    [' 3 – 4 ', '10-17'],
  ])('%s is onsets %s', (bars, onsets) => {
    expect(span({ bars })).toBe(onsets);
  });

  it('says which bars there are', () => {
    expect(span({ bars: '5' })).toBe(
      'Cannot choose the span: there is no bar 5 | the passage has bars 0 to 4 (0 is the pickup)',
    );
    expect(span({ bars: '2-9' })).toContain('there is no bar 9');
    expect(span({ bars: '2' }, madePassage(quarters(4)))).toContain('the passage has bar 1 only');
  });

  it('says which beats a bar has', () => {
    expect(span({ bars: '2.5' })).toBe(
      'Cannot choose the span: bar 2 has no beat 5 | bar 2 has beats 1 to 4',
    );
    expect(span({ bars: '0.1' })).toContain('bar 0 has beat 4 only');
  });

  it('counts dotted beats in compound meter', () => {
    const jig = madePassage(
      Array.from({ length: 12 }, (_, i) => ({ at: i / 2, length: 0.5, pitch: 60 + i })),
      { meter: { count: 6, unit: 8 } },
    );
    expect(span({ bars: '1.2-2.1' }, jig)).toBe('4-9');
    expect(span({ bars: '1.3' }, jig)).toContain('beats 1 to 2');
  });

  it('gives a pickup of two and a half beats its half with the first whole beat', () => {
    const passage = madePassage(
      [0, 0.5, 1.5, 2.5, 3.5].map((at) => ({ at, length: 0.5, pitch: 60 })),
      { pickupQuarters: 2.5 },
    );
    expect(span({ bars: '0.3' }, passage)).toBe('1-2');
    expect(span({ bars: '0.4' }, passage)).toBe('3-3');
  });

  it('turns a reversed span down and shows it the right way round', () => {
    expect(span({ bars: '4-3' })).toBe(
      'Cannot choose the span: "4-3" ends before it begins | write it as 3-4',
    );
    expect(span({ bars: '3.3-3.1' })).toContain('write it as 3.1-3.3');
  });

  it('turns down a bar in which nothing begins', () => {
    const held = madePassage([
      { at: 0, length: 8, pitch: 60 },
      { at: 8, length: 1, pitch: 62 },
    ]);
    expect(span({ bars: '2' }, held)).toContain('nothing begins in "2"');
    expect(span({ bars: '3.2' }, held)).toContain('nothing begins');
  });

  it('says how to write bars where the text is none', () => {
    for (const bars of ['', 'x', '3-', '3.', '-3', '3-4-5', '1e9', '3,4']) {
      expect(span({ bars })).toContain('Write bars as 3, 3-4');
    }
  });

  it('takes the first time round where repeats print a number twice, and goes on from there', () => {
    const twice = madePassage(quarters(16));
    const bars = twice.bars.map((bar, i) => ({ ...bar, number: (i % 2) + 1 }));
    const repeated = { ...twice, bars };
    expect(span({ bars: '2' }, repeated)).toBe('5-8');
    expect(span({ bars: '2-1' }, repeated)).toBe('5-12');
  });
});

describe('a span chosen by onset numbers or a mark', () => {
  it.each([
    ['5-17', '5-17'],
    ['5', '5-5'],
    ['1-17', '1-17'],
  ])('onsets %s are onsets %s', (onsets, expected) => {
    expect(span({ onsets })).toBe(expected);
  });

  it('says which onsets there are', () => {
    expect(span({ onsets: '5-18' })).toBe(
      'Cannot choose the span: there is no onset 18 | the passage has onsets 1 to 17',
    );
    expect(span({ onsets: '0-3' })).toContain('there is no onset 0');
    expect(span({ onsets: '9-5' })).toContain('write it as 5-9');
    expect(span({ onsets: '5 to 9' })).toContain('Write onset numbers');
  });

  it('goes from a mark to the next one, and from the last to the end', () => {
    expect(span({ mark: 'A' })).toBe('2-9');
    expect(span({ mark: 'b' })).toBe('10-13');
    expect(span({ mark: '12a' })).toBe('14-17');
  });

  it('lists the marks where one is unknown, and says the near one', () => {
    expect(span({ mark: 'C' })).toContain('the marks are A, B, 12a');
    expect(span({ mark: '12b' })).toContain('did you mean "12a"?');
    expect(span({ mark: 'A' }, madePassage(quarters(4)))).toContain('has no rehearsal marks');
  });

  it('is the whole passage where nothing is chosen, and one choice at most', () => {
    expect(span({})).toBe('1-17');
    expect(span({ bars: '1', mark: 'A' })).toContain('both --bars and --mark are given');
    expect(span({}, { ...march, onsets: [] })).toContain('nothing begins in the passage');
  });
});

describe('any text for a span', () => {
  it('gives a span inside the passage or a problem, never an exception', () => {
    const text = fc.oneof(fc.string(), fc.stringMatching(/^\d{1,3}(\.\d)?(-\d{1,3}(\.\d)?)?$/));
    fc.assert(
      fc.property(text, fc.constantFrom('bars', 'onsets', 'mark'), (value, kind) => {
        const chosen = chooseSpan(march, { [kind]: value });
        if (!chosen.ok) {
          expect(chosen.problem.hint).toBeTruthy();
          return;
        }
        expect(chosen.value.first).toBeGreaterThanOrEqual(1);
        expect(chosen.value.last).toBeGreaterThanOrEqual(chosen.value.first);
        expect(chosen.value.last).toBeLessThanOrEqual(17);
      }),
      { numRuns: 500 },
    );
  });
});
