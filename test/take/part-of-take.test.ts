import { describe, expect, it } from 'vitest';
import { partOfTake } from '../../src/take/part-of-take.ts';
import { line, perfect, take } from '../matching/takes.ts';

const SCALE = line([60, 62, 64, 65, 67, 69, 71, 72, 74, 76, 77, 79]);
const MIDDLE = { first: 4, last: 7 };

describe('the part of a take that is a span', () => {
  it('is cut out of a take of the whole passage, with what was added inside it', () => {
    const whole = perfect(SCALE);
    expect(partOfTake(SCALE, whole, MIDDLE)).toEqual({ played: whole.slice(4, 8), outside: 8 });
    const [added] = take([[1_400, 61, 50]]);
    const withOneMore = [...whole, added!].sort((a, b) => a.onMicros - b.onMicros);
    const part = partOfTake(SCALE, withOneMore, MIDDLE)!;
    expect(part.played.map(({ pitch }) => pitch)).toEqual([67, 69, 61, 71, 72]);
    expect(part.outside).toBe(8);
  });

  it('keeps a wrong note and does without a missed one', () => {
    const slipped = perfect(SCALE).map((note, i) => (i === 5 ? { ...note, pitch: 70 } : note));
    const pitches = (played: typeof slipped) =>
      partOfTake(SCALE, played, MIDDLE)!.played.map(({ pitch }) => pitch);
    expect(pitches(slipped)).toEqual([67, 70, 71, 72]);
    expect(pitches(perfect(SCALE).filter((_, i) => i !== 6))).toEqual([67, 69, 72]);
  });

  it('is the whole take where that holds the span alone, or the span with a note too many or a restart', () => {
    const alone = perfect(SCALE).slice(4, 8);
    expect(partOfTake(SCALE, alone, MIDDLE)).toBeUndefined();
    const restarted = take([67, 69, 71, 67, 69, 71, 72].map((pitch, i) => [1_000 + i * 250, pitch] as const));
    expect(partOfTake(SCALE, restarted, MIDDLE)).toBeUndefined();
    const astray = take(
      [67, 69, 71, 72, 74, 90, 76, 91, 77, 92, 93, 94, 95, 96].map(
        (pitch, i) => [1_000 + i * 250, pitch] as const,
      ),
    );
    expect(partOfTake(SCALE, astray, MIDDLE)).toBeUndefined();
  });
});
