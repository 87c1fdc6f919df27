import { describe, expect, it } from 'vitest';
import { Remembered } from '../src/remembered.ts';

describe('what was worked out', () => {
  it('is worked out once for as long as all that decides it is the same', () => {
    const lengths = new Remembered<{ name: string }, { of: number }>();
    const [one, other] = [{ name: 'Eb' }, { name: 'Eb' }];
    let worked = 0;
    const work = () => {
      worked += 1;
      return { of: worked };
    };
    const ask = (thing: { name: string }, ...from: readonly unknown[]) =>
      lengths.known(thing, from) ?? lengths.keep(thing, work(), from);
    expect(ask(one, 1, 'a')).toBe(ask(one, 1, 'a'));
    expect(worked).toBe(1);
    expect(ask(other, 1, 'a')).toEqual({ of: 2 });
    expect(ask(one, 1, 'b')).toEqual({ of: 3 });
    expect(ask(one, 1)).toEqual({ of: 4 });
    expect(ask(one, 1, 'a')).toEqual({ of: 5 });
  });

  it('is known only when it was worked out, or kept, from the same', () => {
    const lengths = new Remembered<object, { of: number }>();
    const thing = {};
    expect(lengths.known(thing)).toBeUndefined();
    expect(lengths.keep(thing, { of: 7 }, [undefined])).toEqual({ of: 7 });
    expect(lengths.known(thing)).toBeUndefined();
    expect(lengths.known(thing, [undefined])).toEqual({ of: 7 });
  });
});
